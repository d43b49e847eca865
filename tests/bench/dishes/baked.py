"""Dishes of dough and batter. Lengths and temperatures: common practice, from memory."""

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


def loaf(roll: random.Random) -> Dish:
    """A yeast dough that rises in the room or overnight."""
    heat_c = roll.choice((200, 210, 220, 230))
    stages = [
        stage("weighed", 2880, way("scales", 6, bench(about(roll, 8), 9)), copies_per_slot=3),
        stage("mixed", about(roll, 60), way("machine", 2, bench(4, 2), mixer(about(roll, 12))),
              way("by-hand", 1, bench(about(roll, 22))), takes=("weighed",)),
        stage("risen", about(roll, 110), way("room", 6, stand(about(roll, 90))),
              way("overnight", 8, stand(about(roll, 660), "chill"), stand(about(roll, 45))),
              takes=("mixed",), copies_per_slot=2),
        stage("shaped", about(roll, 60), way("bench", 4, bench(about(roll, 4), 7, "pastry")),
              takes=("risen",), **fragile(roll, 3)),
        stage("proved", about(roll, 60), way("room", 6, stand(about(roll, 45))),
              takes=("shaped",)),
        stage("baked", about(roll, 600), way("deck", 6, *oven(4, about(roll, 30), heat_c, 2),
              bench(3, 1), stand(about(roll, 30))), takes=("proved",), ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        beat("mix", FILMED, need("weighed"), leaves=("mixed",)),
        shown("fold", FILMED, "risen"),
        beat("shape", FILMED, need("risen", backups=1), leaves=("shaped",)),
        shown("score", FILMED, "proved", backups=roll.choice((0, 1))),
        beat("reveal", TAKES, need("baked", backups=1, untouched=True), leaves=("baked",)),
        beat("tear", TAKES, need("baked", tasting=True)),
        shown("portrait", STILLS, "baked"),
        shown("hands", STILLS, "shaped"),
    ]
    return Dish(stages, beats)


def tart(roll: random.Random) -> Dish:
    """A case baked blind, filled with a cream that also glazes it."""
    stages = [
        stage("dough", 2880, way("machine", 6, bench(5, 5), mixer(about(roll, 8), 1),
              stand(about(roll, 60), "chill")), zone="chill", copies_per_slot=3),
        stage("lined", 900, way("bench", 4, bench(3, 10, "pastry"), stand(30, "chill")),
              takes=("dough",), zone="chill", **fragile(roll, 4)),
        stage("blind", 1080, way("oven", 6, *oven(4, about(roll, 30), 180, 2), bench(3),
              stand(20)), takes=("lined",)),
        stage("cream", 1080, way("hob", 6, bench(6, 5), hob(about(roll, 8), 2, per_burner=3),
              stand(about(roll, 40), "chill")), zone="chill", copies_per_slot=4),
        stage("filled", about(roll, 40), way("bench", 4, bench(2, 3)), takes=("blind", "cream")),
        stage("baked", 480, way("oven", 6, *oven(3, about(roll, 35), 160, 2), bench(2),
              stand(about(roll, 30))), takes=("filled",), ready_to_eat=True),
        stage("glazed", about(roll, 180), way("bench", 3, bench(3, 6, "pastry")),
              takes=("baked", "cream"), ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        beat("line", FILMED, need("dough"), leaves=("lined",)),
        shown("unmould", FILMED, "blind"),
        beat("fill", FILMED, need("blind", backups=1), need("cream"), leaves=("filled",)),
        beat("glaze", FILMED, need("baked", backups=roll.choice((0, 1))), leaves=("glazed",)),
        beat("reveal", TAKES, need("glazed", backups=1, untouched=True), leaves=("glazed",)),
        shown("portrait", STILLS, "glazed"),
        shown("layers", STILLS, "lined"),
    ]
    return Dish(stages, beats)


def layers(roll: random.Random) -> Dish:
    """A cake of layers, chilled overnight if it suits, with a cream inside and out."""
    stages = [
        stage("weighed", 2880, way("scales", 8, bench(6, 9)), copies_per_slot=4),
        stage("batter", about(roll, 30), way("machine", 2, bench(3, 2), mixer(about(roll, 12))),
              takes=("weighed",)),
        stage("sponge", 1080, way("oven", 4, bench(2, 2), *oven(3, about(roll, 35), 170, 2),
              bench(2, 1), stand(about(roll, 50))), takes=("batter",), **fragile(roll, 3)),
        stage("cream", 720, way("machine", 8, mixer(about(roll, 10), 3)), zone="chill",
              copies_per_slot=4),
        stage("stacked", 960, way("bench", 3, bench(3, 10, "pastry"), stand(60, "chill")),
              way("overnight", 6, bench(3, 10, "pastry"), stand(about(roll, 600), "chill")),
              takes=("sponge", "cream"), zone="chill"),
        stage("iced", 480, way("bench", 3, bench(3, 14, "pastry")), takes=("stacked", "cream"),
              zone="chill", ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        beat("beat", FILMED, need("weighed"), leaves=("batter",)),
        beat("pour", FILMED, need("batter")),
        beat("stack", FILMED, need("sponge", backups=1), need("cream"), leaves=("stacked",)),
        beat("ice", FILMED, need("stacked"), leaves=("iced",)),
        beat("reveal", TAKES, need("iced", backups=roll.choice((0, 1)), untouched=True),
             leaves=("iced",)),
        shown("portrait", STILLS, "iced"),
        shown("crumb", STILLS, "sponge"),
    ]  # fmt: skip
    return Dish(stages, beats)


def folded(roll: random.Random) -> Dish:
    """A folded dough cut into many: six from one piece."""
    count = roll.choice((4, 6))
    stages = [
        stage("dough", 1440, way("machine", 4, bench(4, 6), mixer(about(roll, 8), 1),
              stand(60, "chill")), zone="chill", copies_per_slot=2),
        stage("folded", 1200, way("same-day", 4, bench(2, 9, "pastry"), stand(45, "chill"),
              bench(2, 7, "pastry"), stand(60, "chill")),
              way("overnight", 4, bench(2, 12, "pastry"), stand(about(roll, 660), "chill")),
              takes=("dough",), zone="chill", **fragile(roll, 4)),
        stage("cut", about(roll, 60), way("bench", 4 * count, bench(4, 1)), takes=("folded",),
              yields=2 * count, copies_per_slot=2 * count),
        stage("proved", about(roll, 60), way("room", 4 * count, stand(about(roll, 70))),
              takes=("cut",), copies_per_slot=2 * count),
        stage("baked", 480, way("deck", 4 * count, *oven(4, about(roll, 20), 190, count),
              bench(4), stand(20)), takes=("proved",), copies_per_slot=count, ready_to_eat=True),
    ]  # fmt: skip
    beats = [
        shown("roll", FILMED, "dough"),
        beat("fold", FILMED, need("dough"), leaves=("folded",)),
        beat("cut", FILMED, need("folded", backups=1), leaves=("cut",)),
        shown("brush", FILMED, "proved", count),
        beat("reveal", TAKES, need("baked", count, backups=2, untouched=True), leaves=("baked",)),
        beat("taste", TAKES, need("baked", 2, tasting=True)),
        shown("portrait", STILLS, "baked", count),
        shown("seams", STILLS, "folded"),
    ]
    return Dish(stages, beats)


BAKED = (
    Nature("loaf", ("Caraway", "Barley", "Honey", "Black onion", "Buttermilk", "Potato"),
           ("round", "plait", "crown", "long loaf"), 0, loaf),
    Nature("tart", ("Plum", "Quince", "Gooseberry", "Walnut", "Rhubarb", "Damson"),
           ("tart", "open tart", "lattice", "galette"), 0, tart),
    Nature("layers", ("Poppy seed", "Hazelnut", "Orange blossom", "Cocoa", "Carrot", "Almond"),
           ("layer cake", "tall cake", "four-layer cake"), 1, layers),
    Nature("folded", ("Cardamom", "Apple", "Sesame", "Cherry", "Pistachio", "Leek"),
           ("leaves", "fans", "parcels", "twists"), 1, folded),
)  # fmt: skip
