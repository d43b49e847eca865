"""A rule has one name: in the planner, in the audit, and in what people read of both."""

import ast
import re
from pathlib import Path

import pytest

from app.planning import model as model_rooms
from app.planning import scope
from app.planning.audit import RULES
from tests.live import ROOT

# What is said of batches before there is a model, and what the model says.
FILES = (Path(scope.__file__), *Path(model_rooms.__path__[0]).glob("*.py"))
MODEL = {file.name: file.read_text("utf-8") for file in FILES}
# What the model makes small.
NO_RULE_OF_THE_MODEL = {"goals"}
# Drops rules and adds none, so it has no code.
NO_RULE_OF_THE_AUDIT = {"loose"}


def names_apart(model: dict[str, str], codes: list[str]) -> set[str]:
    """Return the names of rules that stand on one side only, or in code and not in words."""
    told, built = set(), set()
    for text in model.values():
        tree = ast.parse(text)
        for each in [tree, *(node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))]:
            words = ast.get_docstring(each) or ""
            if re.match(r"Rules? `", words):
                told |= set(re.findall(r"`(\w+)`", words.split(":")[0]))
            if isinstance(each, ast.FunctionDef) and each.name.endswith("_rule"):
                built.add(each.name.strip("_").removesuffix("_rule"))
    wanted = set(codes) - NO_RULE_OF_THE_MODEL
    return (told ^ wanted) | (built - NO_RULE_OF_THE_AUDIT - wanted)


def test_a_rule_is_called_the_same_in_the_model_and_in_the_audit() -> None:
    assert names_apart(MODEL, [rule.__name__ for rule in RULES]) == set()


@pytest.mark.parametrize(
    ("file", "before", "after", "apart"),
    [
        ("timing.py", "def late_rule", "def tardy_rule", {"tardy"}),
        ("crew.py", "Rule `crew`", "Rule `people`", {"people", "crew"}),
        ("scope.py", "Rule `before`", "Rule `since`", {"since", "before"}),
        ("batches.py", "def _phases_rule", "def _lengths_rule", {"lengths"}),
    ],
)
def test_another_name_in_the_model_is_noticed(
    file: str, before: str, after: str, apart: set[str]
) -> None:
    assert before in MODEL[file]
    renamed = MODEL | {file: MODEL[file].replace(before, after)}
    assert names_apart(renamed, [rule.__name__ for rule in RULES]) == apart


def test_another_name_in_the_audit_is_noticed() -> None:
    codes = [rule.__name__ for rule in RULES]
    assert names_apart(MODEL, [*codes, "rest"]) == {"rest"}
    assert names_apart(MODEL, [code for code in codes if code != "stale"]) == {"stale"}


def test_the_developers_page_tells_every_code() -> None:
    page = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    told = re.search(r"by the codes that `audit` tells: (.*?)\.\n", page, re.DOTALL)
    assert told is not None
    assert re.findall(r"`(\w+)`", told[1]) == [rule.__name__ for rule in RULES]
