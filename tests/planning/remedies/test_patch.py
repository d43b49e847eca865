"""Changes are applied as RFC 6902 says; the examples are those of its appendix A."""

from typing import Any

import pytest

from app.planning.remedies.patch import NotPatched, added, patched, removed, replaced

EXAMPLES: list[tuple[str, Any, dict[str, Any], Any]] = [
    ("A.1", {"foo": "bar"}, added("/baz", "qux"), {"baz": "qux", "foo": "bar"}),
    ("A.2", {"foo": ["bar", "baz"]}, added("/foo/1", "qux"), {"foo": ["bar", "qux", "baz"]}),
    ("A.3", {"baz": "qux", "foo": "bar"}, removed("/baz"), {"foo": "bar"}),
    ("A.4", {"foo": ["bar", "qux", "baz"]}, removed("/foo/1"), {"foo": ["bar", "baz"]}),
    ("A.5", {"baz": "qux", "foo": "bar"}, replaced("/baz", "boo"), {"baz": "boo", "foo": "bar"}),
    ("A.8", {"baz": "qux"}, {"op": "test", "path": "/baz", "value": "qux"}, {"baz": "qux"}),
    (
        "A.10",
        {"foo": "bar"},
        added("/child", {"grandchild": {}}),
        {"foo": "bar", "child": {"grandchild": {}}},
    ),
    (
        "A.14",
        {"/": 9, "~1": 10},
        {"op": "test", "path": "/~01", "value": 10},
        {"/": 9, "~1": 10},
    ),
    ("A.16", {"foo": ["bar"]}, added("/foo/-", ["abc", "def"]), {"foo": ["bar", ["abc", "def"]]}),
    ("whole", {"foo": "bar"}, replaced("", [1]), [1]),
]
FAULTS: list[tuple[str, Any, dict[str, Any]]] = [
    ("A.9", {"baz": "qux"}, {"op": "test", "path": "/baz", "value": "bar"}),
    ("A.12", {"foo": "bar"}, added("/baz/bat", "qux")),
    ("no such entry", {"foo": ["bar"]}, replaced("/foo/1", "baz")),
    ("no such member", {"foo": 1}, replaced("/baz", 1)),
    ("nothing to remove", {"foo": 1}, removed("/baz")),
    ("a leading zero", {"foo": [1, 2]}, removed("/foo/01")),
    ("no slash", {"foo": 1}, removed("foo")),
    ("unknown", {"foo": 1}, {"op": "spoil", "path": "/foo"}),
]


@pytest.mark.parametrize(("name", "before", "operation", "after"), EXAMPLES)
def test_an_operation_does_what_the_standard_says(
    name: str, before: Any, operation: dict[str, Any], after: Any
) -> None:
    """Tests each operation that remedies use, and leaves what is given as it is."""
    kept = repr(before)
    assert patched(before, [operation]) == after
    assert repr(before) == kept


@pytest.mark.parametrize(("name", "before", "operation"), FAULTS)
def test_what_does_not_fit_is_refused(name: str, before: Any, operation: dict[str, Any]) -> None:
    """A change of another day is not half done."""
    with pytest.raises(NotPatched):
        patched(before, [operation])
