"""Dishes from pot, pan and roasting tin. Lengths and temperatures: common practice, from memory."""

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

RAW = {"raw_animal": True, "cook_to_c": 63}


def braise(roll: random.Random) -> Dish:
    """Meat seared and braised by day, or in a low oven overnight."""
    stages = [
        stage("cut", 1440, way("bench", 4, bench(4, 12, "butchery")), zone="chill",
              copies_per_slot=2, **RAW),
        stage("chopped", 1440, way("bench", 6, bench(4, 10)), zone="chill", copies_per_slot=4),
        stage("seared", about(roll, 60), way("pan", 3, hob(about(roll, 10), 4)), takes=("cut",),
              **RAW),
        stage("braised", 300, way("oven", 4, bench(3, 2), *oven(2, about(roll, 150), 150, 1),
              bench(2)), way("overnight", 6, bench(3, 2), *oven(2, about(roll, 600), 100, 1),
              bench(2)), takes=("seared", "chopped"), ready_to_eat=True, **fragile(roll, 2)),
        stage("reduced", 240, way("hob", 3, hob(about(roll, 20), 2)), takes=("braised",),
              ready_to_eat=True),
        stage("plated", about(roll, 40), way("bench", 3, bench(2, 4)), takes=("reduced",),
              ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        beat("sear", FILMED, need("cut"), leaves=("seared",)),
        beat("cover", FILMED, need("seared"), need("chopped")),
        shown("lift-lid", FILMED, "braised", backups=1),
        beat("spoon", FILMED, need("reduced"), leaves=("plated",)),
        beat("reveal", TAKES, need("plated", backups=roll.choice((0, 1)), untouched=True)),
        shown("portrait", STILLS, "plated"),
        shown("pot", STILLS, "braised"),
    ]
    return Dish(stages, beats)


def roast(roll: random.Random) -> Dish:
    """A joint salted overnight or for a few hours, roasted, rested and carved."""
    stages = [
        stage("trimmed", 2160, way("bench", 4, bench(4, 14, "butchery")), zone="chill", **RAW),
        stage("salted", 1440, way("short", 4, bench(2, 2), stand(about(roll, 180), "chill")),
              way("overnight", 6, bench(2, 2), stand(about(roll, 720), "chill")),
              takes=("trimmed",), zone="chill", **RAW),
        stage("tied", 600, way("bench", 3, bench(2, 6, "butchery")), takes=("salted",),
              zone="chill", **RAW),
        stage("roasted", about(roll, 120), way("oven", 6, *oven(4, about(roll, 80), 180, 1),
              bench(3), stand(about(roll, 25))), takes=("tied",), ready_to_eat=True,
              **fragile(roll, 2)),
        stage("carved", about(roll, 60), way("board", 4, bench(3, 6, "butchery")),
              takes=("roasted",), ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        shown("rub", FILMED, "trimmed"),
        beat("tie", FILMED, need("salted"), leaves=("tied",)),
        shown("into-oven", FILMED, "tied", backups=roll.choice((0, 1))),
        beat("carve", FILMED, need("roasted", backups=1), leaves=("carved",)),
        shown("reveal", TAKES, "carved", untouched=True),
        beat("taste", TAKES, need("carved", tasting=True)),
        shown("portrait", STILLS, "roasted"),
        shown("slices", STILLS, "carved"),
    ]
    return Dish(stages, beats)


def noodles(roll: random.Random) -> Dish:
    """A dough pulled by hand, a broth beside it."""
    portions = roll.choice((3, 4))
    stages = [
        stage("kneaded", 120, way("machine", 2, bench(3, 2), mixer(about(roll, 14))),
              way("by-hand", 1, bench(about(roll, 20), 0, "noodles"))),
        stage("rested", about(roll, 180), way("room", 6, stand(about(roll, 80))),
              way("overnight", 8, stand(about(roll, 660), "chill"), stand(about(roll, 40))),
              takes=("kneaded",), copies_per_slot=2),
        stage("pulled", about(roll, 32), way("bench", 2 * portions, bench(3, 3, "noodles")),
              takes=("rested",), yields=portions, copies_per_slot=portions, **fragile(roll, 5)),
        stage("broth", 1440, way("pot", 12, bench(8, 3), hob(about(roll, 20), per_burner=6),
              hob(about(roll, 150), hands=0, per_burner=6), bench(6)), copies_per_slot=6),
        stage("bowled", about(roll, 28), way("hob", 4, hob(about(roll, 6), 2, per_burner=2)),
              takes=("pulled", "broth"), ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        shown("knead", FILMED, "kneaded"),
        beat("pull", FILMED, need("rested", backups=1), leaves=("pulled",)),
        beat("boil", FILMED, need("pulled", 2)),
        beat("bowl", FILMED, need("broth"), leaves=("bowled",)),
        beat("reveal", TAKES, need("bowled", 2, backups=1, untouched=True)),
        shown("strands", STILLS, "pulled", 2),
        shown("portrait", STILLS, "bowled"),
    ]
    return Dish(stages, beats)


def parcels(roll: random.Random) -> Dish:
    """Small filled parcels, a dozen from one dough and one filling, steamed."""
    count = roll.choice((4, 6))
    stages = [
        stage("dough", 600, way("machine", 4, bench(3, 2), mixer(about(roll, 10)), stand(30))),
        stage("filling", 1080, way("bench", 4, bench(about(roll, 6), 12, "butchery")),
              zone="chill", copies_per_slot=2, **RAW),
        stage("sheets", about(roll, 50), way("bench", 4, bench(4, 8, "noodles")),
              takes=("dough",), **fragile(roll, 4)),
        stage("closed", 180, way("bench", 4 * count, bench(3, 1, "noodles")),
              takes=("sheets", "filling"), yields=2 * count, copies_per_slot=2 * count,
              zone="chill", **RAW),
        stage("steamed", about(roll, 50), way("hob", 2 * count,
              hob(3, per_burner=count), hob(about(roll, 14), hands=0, per_burner=count),
              bench(2)), takes=("closed",), copies_per_slot=count, ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        beat("roll", FILMED, need("dough"), leaves=("sheets",)),
        beat("close", FILMED, need("sheets"), need("filling")),
        shown("basket", FILMED, "closed", count),
        shown("steam", TAKES, "steamed", count, backups=2),
        beat("reveal", TAKES, need("steamed", count, untouched=True)),
        shown("portrait", STILLS, "steamed", count),
        shown("pleats", STILLS, "closed", count),
    ]
    return Dish(stages, beats)


HOT = (
    Nature("braise", ("Shin", "Lamb neck", "Ox cheek", "Oxtail", "Hogget", "Hock"),
           ("in dark beer", "with prunes", "and pearl barley", "with mustard"), 2, braise),
    Nature("roast", ("Pork loin", "Saddle", "Duck", "Rib", "Shoulder", "Guinea fowl"),
           ("with bay", "with fennel", "in hay", "with green sauce"), 1, roast),
    Nature("noodles", ("Pulled", "Buckwheat", "Flat", "Green", "Peppered", "Thick"),
           ("noodles in broth", "noodles with chives", "noodle bowl"), 0, noodles),
    Nature("parcels", ("Pork", "Smoked eel", "Lamb", "Chicken", "Mutton", "Crab"),
           ("parcels", "half-moons", "pinched dumplings"), 0, parcels),
)  # fmt: skip
