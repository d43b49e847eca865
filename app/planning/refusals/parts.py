"""Objects of a document, field by field as the models declare them."""

from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from app.planning.day import Named
from app.planning.refusals.fault import Path, shown
from app.planning.refusals.form import TIMES, Form
from app.planning.refusals.keys import doubled, missing, unknown
from app.planning.refusals.numbers import number_of
from app.planning.refusals.shape import (
    Anything,
    Choice,
    Id,
    Nullable,
    Pair,
    Several,
    Shape,
    Text,
    Truth,
)
from app.planning.refusals.sketch import BAD, Bad, Reading, Sketch
from app.planning.refusals.times import Time, Timezone


class PartOf:
    """An object with the fields of a model."""

    wanted = "an object in { }"

    def __init__(self, model: type[BaseModel], form: Form) -> None:
        self.model = model
        fields = {field.alias or name: (name, field) for name, field in model.model_fields.items()}
        self.shapes = {
            key: _shape_of(field.annotation, name, model, form)
            for key, (name, field) in fields.items()
        }
        self.required = [key for key, (_, field) in fields.items() if _is_required(field)]
        self.defaults = {
            key: field.get_default(call_default_factory=True)
            for key, (_, field) in fields.items()
            if not field.is_required()
        }

    def read(self, value: object, path: Path, reading: Reading) -> Sketch | Bad:
        """Return what is good of the object."""
        if not isinstance(value, dict):
            return reading.bad(path, f"{shown(value)} is no object; write {self.wanted}")
        good = {}
        for key, inner in value.items():
            shape = self.shapes.get(key)
            if shape is None:
                reading.note(unknown(key, path, self.shapes))
                continue
            taken = shape.read(inner, (*path, key), reading)
            if taken is not BAD:
                good[key] = taken
        for twice in doubled(value, path):
            reading.note(twice)
        for key in self.required:
            if key not in value:
                reading.note(missing(key, path, self.shapes[key].wanted))
        return Sketch(path, value, good, self.defaults)

    def schema(self) -> dict[str, Any]:
        """Return a reference to the definition of the part."""
        return {"$ref": f"#/$defs/{self.model.__name__}"}

    def definition(self) -> dict[str, Any]:
        """Return the JSON Schema of the object itself."""
        told = self.model.__doc__ or ""
        properties = {key: self._property(key) for key in self.shapes}
        return {
            "type": "object",
            "description": told.strip(),
            "properties": properties,
            "required": self.required,
            "additionalProperties": False,
        }

    def _property(self, key: str) -> dict[str, Any]:
        schema = self.shapes[key].schema()
        default = self.defaults.get(key)
        if isinstance(default, BaseModel):
            default = {}
        if default is None or key in self.required:
            return schema
        return {**schema, "default": list(default) if isinstance(default, tuple) else default}


@cache
def part_of(model: type[BaseModel], form: Form) -> PartOf:
    """Return the shape of a model's object in a form of document."""
    return PartOf(model, form)


def schema_of(model: type[BaseModel], form: Form) -> dict[str, Any]:
    """Return the whole JSON Schema of a form of document."""
    whole = part_of(model, form)
    parts: dict[str, PartOf] = {}
    _collect(whole, parts)
    definitions = {name: part.definition() for name, part in parts.items() if part is not whole}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": form.name,
        **whole.definition(),
        "$defs": definitions,
    }


def _collect(shape: Shape, parts: dict[str, PartOf]) -> None:
    if isinstance(shape, PartOf):
        parts[shape.model.__name__] = shape
        for inner in shape.shapes.values():
            _collect(inner, parts)
    elif isinstance(shape, Several | Pair):
        _collect(shape.entry, parts)
    elif isinstance(shape, Nullable):
        _collect(shape.inner, parts)


def _is_required(field: FieldInfo) -> bool:
    """Tell whether a field must be there; a format must, though the model can say it by itself."""
    return field.is_required() or _is_format(field.annotation)


def _is_format(annotation: Any) -> bool:
    return get_origin(annotation) is Literal and len(get_args(annotation)) == 1


def _shape_of(annotation: Any, name: str, model: type[BaseModel], form: Form) -> Shape:
    """Return the shape of a field from its annotation and its name."""
    origin, arms = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _shape_of(arms[0], name, model, form)
    if origin in (Union, UnionType):
        kinds = [arm for arm in arms if arm is not NoneType]
        inner = _shape_of(float if float in kinds else kinds[0], name, model, form)
        return Nullable(inner) if form.may_be_null and NoneType in arms else inner
    if origin is Literal:
        return Choice(arms)
    if origin is tuple:
        entry = _shape_of(arms[0], name, model, form)
        if arms[-1] is Ellipsis:
            return Several(entry)
        return Pair(Time() if form.is_bounded else entry)
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return part_of(annotation, form)
    return _simple(annotation, name, model, form)


def _simple(annotation: Any, name: str, model: type[BaseModel], form: Form) -> Shape:
    if annotation is bool:
        return Truth()
    if annotation in (int, float):
        return number_of(name, form, whole=annotation is int)
    if get_origin(annotation) is dict:
        return Anything()
    if name == "timezone":
        return Timezone()
    if name in TIMES:
        return Time()
    return Id() if name == "id" and issubclass(model, Named) else Text()
