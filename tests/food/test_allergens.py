"""The US nine and the EU fourteen.

Source: FALCPA 2004 with the FASTER Act 2021; Regulation (EU) No 1169/2011, Annex II; both laws by
secondary reading.
"""

import pytest

from app.food.allergens import declared, law, meets

NINE = {
    *("milk", "eggs", "fish", "crustacean shellfish", "tree nuts"),
    *("peanuts", "wheat", "soybeans", "sesame"),
}
FOURTEEN = {
    *("cereals containing gluten", "crustaceans", "eggs", "fish", "peanuts", "soybeans", "milk"),
    *("nuts", "celery", "mustard", "sesame seeds", "sulphur dioxide and sulphites", "lupin"),
    "molluscs",
}


def cells(words: list[str], id: str) -> dict[str, list[tuple[str, bool]]]:
    """Return the cells of a law that are not empty."""
    told = declared(words, law(id))
    return {
        allergen.called: [(each.word, each.is_sure) for each in names]
        for allergen, names in told.cells
        if names
    }


@pytest.mark.parametrize(("id", "wanted"), [("us", NINE), ("eu", FOURTEEN)])
def test_a_law_has_the_allergens_that_it_names(id: str, wanted: set[str]) -> None:
    assert {each.called for each in law(id).allergens} == wanted


def test_there_is_no_third_law() -> None:
    with pytest.raises(ValueError, match="there are us, eu"):
        law("mars")


def test_wheat_is_not_cereals_containing_gluten() -> None:
    """The word stays wheat under both laws; the cereals of the EU are perhaps not wheat."""
    assert cells(["wheat"], "us") == {"wheat": [("wheat", True)]}
    assert cells(["wheat"], "eu") == {"cereals containing gluten": [("wheat", True)]}
    assert cells(["cereals containing gluten"], "us") == {
        "wheat": [("cereals containing gluten", False)]
    }


def test_barley_is_no_allergen_of_the_us_nine() -> None:
    assert cells(["barley"], "us") == {}
    assert declared(["barley"], law("us")).beside == ("barley",)
    assert cells(["barley"], "eu") == {"cereals containing gluten": [("barley", True)]}


def test_crustaceans_are_not_molluscs() -> None:
    assert cells(["prawns", "squid"], "eu") == {
        "crustaceans": [("prawns", True)],
        "molluscs": [("squid", True)],
    }
    assert cells(["prawns", "squid"], "us") == {"crustacean shellfish": [("prawns", True)]}
    assert declared(["prawns", "squid"], law("us")).beside == ("squid",)


def test_shellfish_may_be_either() -> None:
    told = cells(["shellfish"], "eu")
    assert told == {"crustaceans": [("shellfish", False)], "molluscs": [("shellfish", False)]}


def test_peanuts_are_not_nuts() -> None:
    assert cells(["peanuts", "almonds"], "eu") == {
        "peanuts": [("peanuts", True)],
        "nuts": [("almonds", True)],
    }


@pytest.mark.parametrize("words", ["nuts", "Tree nuts", "NUT"])
def test_the_law_s_own_word_is_sure(words: str) -> None:
    """Pine nuts are in the one list and not in the other; the word itself is in both."""
    assert cells([words], "us") == {"tree nuts": [(words, True)]}
    assert cells([words], "eu") == {"nuts": [(words, True)]}


def test_what_no_law_names_is_kept_beside() -> None:
    assert declared(["kiwi", "milk"], law("eu")).beside == ("kiwi",)


@pytest.mark.parametrize(
    ("contained", "avoided", "wanted"),
    [
        ("almonds", "almonds", True),
        ("almond", "Almonds", True),
        ("almonds", "nuts", True),
        ("nuts", "almonds", False),
        ("wheat", "gluten", True),
        ("gluten", "wheat", False),
        ("barley", "wheat", None),
        ("crustaceans", "molluscs", None),
        ("crustaceans", "shellfish", True),
        ("shellfish", "molluscs", False),
        ("peanuts", "nuts", None),
        ("toasted almonds", "almonds", False),
        ("kiwi", "kiwis", True),
        ("kiwi", "milk", None),
        ("buckwheat", "wheat", None),
    ],
)
def test_what_meets_what_somebody_avoids(contained: str, avoided: str, wanted: bool | None) -> None:
    """For sure, perhaps, or not at all."""
    assert meets(contained, avoided) is wanted
