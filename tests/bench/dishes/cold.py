"""Dishes that set, freeze or cure. Lengths and temperatures: common practice, from memory."""

import random

from tests.bench.dishes.steps import (
    FILMED,
    STILLS,
    TAKES,
    Dish,
    Nature,
    about,
    beat,
    bench,
    fragile,
    hob,
    mixer,
    need,
    oven,
    shown,
    stage,
    stand,
    way,
)


def custard(roll: random.Random) -> Dish:
    """Six cups from one pan, baked in a bath, set in the chill."""
    cups = roll.choice((4, 6))
    stages = [
        stage("infused", 300, way("hob", 3, hob(about(roll, 8), 2), stand(20))),
        stage("mix", about(roll, 90), way("bench", 3, bench(3, 4)), takes=("infused",)),
        stage("poured", about(roll, 40), way("bench", 3 * cups, bench(4, 1)), takes=("mix",),
              yields=cups, copies_per_slot=cups),
        stage("baked", about(roll, 90), way("bath", 3 * cups, *oven(5, about(roll, 45), 130, cups),
              bench(3)), takes=("poured",), copies_per_slot=cups, **fragile(roll, 3)),
        stage("set", 1200, way("chill", 4 * cups, stand(about(roll, 150), "chill")),
              way("overnight", 6 * cups, stand(about(roll, 600), "chill")),
              takes=("baked",), zone="chill", copies_per_slot=cups, ready_to_eat=True),
        stage("torched", about(roll, 45), way("bench", cups, bench(3, 2)), takes=("set",),
              copies_per_slot=cups, ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        beat("temper", FILMED, need("infused"), leaves=("mix",)),
        beat("pour", FILMED, need("mix"), leaves=("poured",)),
        shown("wobble", FILMED, "set", 2),
        beat("torch", FILMED, need("set", 2, backups=1)),
        beat("reveal", TAKES, need("torched", 2, backups=1, untouched=True), leaves=("torched",)),
        beat("spoon", TAKES, need("torched", tasting=True)),
        shown("portrait", STILLS, "torched", 3),
        shown("cups", STILLS, "poured", 2),
    ]
    return Dish(stages, beats)


def frozen(roll: random.Random) -> Dish:
    """A frozen mould, hard by the next day, with a sauce that also goes into it."""
    stages = [
        stage("syrup", 2880, way("hob", 6, bench(3, 3), hob(about(roll, 12), 1, per_burner=3),
              stand(30)), zone="chill", copies_per_slot=4),
        stage("base", about(roll, 40), way("machine", 2, bench(3, 2), mixer(about(roll, 12))),
              takes=("syrup",)),
        stage("moulded", about(roll, 60), way("bench", 4, bench(2, 3)), takes=("base",),
              zone="frozen"),
        stage("hard", 8640, way("freezer", 6, stand(about(roll, 420), "frozen")),
              way("overnight", 6, stand(about(roll, 780), "frozen")), takes=("moulded",),
              zone="frozen", ready_to_eat=True),
        stage("turned-out", about(roll, 180), way("bench", 4, bench(2, 3)), takes=("hard",),
              zone="frozen", ready_to_eat=True, **fragile(roll, 5)),
        stage("dressed", about(roll, 28), way("bench", 4, bench(2, 6, "pastry")),
              takes=("turned-out", "syrup"), zone="chill", ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        beat("whip", FILMED, need("syrup"), leaves=("base",)),
        beat("mould", FILMED, need("base"), leaves=("moulded",)),
        beat("turn-out", FILMED, need("hard", backups=1), leaves=("turned-out",)),
        beat("dress", FILMED, need("turned-out"), leaves=("dressed",)),
        beat("reveal", TAKES, need("dressed", backups=roll.choice((0, 1)), untouched=True)),
        beat("slice", TAKES, need("turned-out")),
        shown("portrait", STILLS, "dressed"),
        shown("mould-shot", STILLS, "hard"),
    ]
    return Dish(stages, beats)


def cured(roll: random.Random) -> Dish:
    """A side of fish cured overnight, rinsed, sliced and dressed."""
    raw = {"zone": "chill", "raw_animal": True, "cook_to_c": 63}
    stages = [
        stage("boned", 1440, way("bench", 3, bench(3, 15, "butchery")), **raw),
        stage("rub", 2880, way("bench", 8, bench(4, 2)), copies_per_slot=6),
        stage("buried", 240, way("bench", 3, bench(2, 4)), takes=("boned", "rub"), **raw),
        stage("cured", 1440, way("overnight", 6, stand(about(roll, 720), "chill")),
              takes=("buried",), zone="chill", ready_to_eat=True),
        stage("rinsed", 720, way("bench", 3, bench(2, 4), stand(30, "chill")), takes=("cured",),
              zone="chill", ready_to_eat=True),
        stage("sliced", about(roll, 80), way("board", 4, bench(2, 7, "butchery")),
              takes=("rinsed",), zone="chill", ready_to_eat=True, **fragile(roll, 3)),
        stage("sauce", 960, way("bench", 8, bench(6, 4)), zone="chill", copies_per_slot=6),
    ]  # fmt: skip
    beats = [
        shown("bones", FILMED, "boned"),
        beat("bury", FILMED, need("boned"), need("rub"), leaves=("buried",)),
        beat("slice", FILMED, need("rinsed", backups=1), leaves=("sliced",)),
        beat("dress", FILMED, need("sauce")),
        beat("reveal", TAKES, need("sliced", backups=roll.choice((0, 1)), untouched=True)),
        shown("portrait", STILLS, "sliced"),
        shown("side", STILLS, "rinsed"),
    ]
    return Dish(stages, beats)


def jelly(roll: random.Random) -> Dish:
    """Fruit set in clear layers, turned out on the day."""
    stages = [
        stage("picked", 1440, way("bench", 6, bench(3, 12)), zone="chill", copies_per_slot=2),
        stage("juice", 1440, way("hob", 6, bench(4, 5), hob(about(roll, 14), 1, per_burner=3),
              stand(40)), zone="chill", copies_per_slot=3),
        stage("first-layer", 1080, way("chill", 6, bench(3, 3), stand(about(roll, 90), "chill")),
              takes=("juice", "picked"), zone="chill"),
        stage("set", 1200, way("chill", 6, bench(3, 3), stand(about(roll, 180), "chill")),
              way("overnight", 8, bench(3, 3), stand(about(roll, 660), "chill")),
              takes=("first-layer", "juice"), zone="chill", ready_to_eat=True),
        stage("turned-out", about(roll, 100), way("bench", 4, bench(2, 5)), takes=("set",),
              zone="chill", ready_to_eat=True, **fragile(roll, 5)),
    ]  # fmt: skip
    beats = [
        beat("arrange", FILMED, need("picked"), need("juice"), leaves=("first-layer",)),
        shown("second-pour", FILMED, "first-layer"),
        beat("turn-out", FILMED, need("set", backups=1), leaves=("turned-out",)),
        shown("light", TAKES, "turned-out", backups=1, untouched=True),
        beat("spoon", TAKES, need("turned-out")),
        shown("portrait", STILLS, "turned-out"),
        shown("fruit", STILLS, "picked"),
    ]
    return Dish(stages, beats)


COLD = (
    Nature("custard", ("Bay leaf", "Saffron", "Burnt honey", "Coffee", "Lemon leaf", "Malt"),
           ("cups", "little pots", "creams"), 0, custard),
    Nature("frozen", ("Elderflower", "Brown bread", "Pear", "Blackcurrant", "Almond", "Ginger"),
           ("parfait", "iced bombe", "frozen log"), 0, frozen),
    Nature("cured", ("Beetroot", "Juniper", "Dill", "Citrus", "Gin", "Horseradish"),
           ("cured trout", "cured salmon", "cured char"), 0, cured),
    Nature("jelly", ("Currant", "Wine", "Cider", "Tea", "Peach", "Bramble"),
           ("jelly", "set fruit", "clear mould"), 0, jelly),
)  # fmt: skip
