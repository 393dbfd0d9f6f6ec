"""Any document that a schema allows, as hypothesis draws it: every kind of key, every sign in a text."""

from __future__ import annotations

from typing import Any, Literal, get_args, get_origin

from hypothesis import strategies as st
from pydantic import BaseModel

from rubrics.documents.sheet_shape import Kind, bare, kind_of, model_of

_AWKWARD = [
    "",
    '""',
    "[]",
    "{}",
    "=1+1",
    "+1",
    "a;b",
    "a\\;b",
    "\\",
    "\\n",
    " x ",
    "x\ny",
    "_x0041_",
    "x005F_",
    "_x005F_x0041_",
    "0.50",
    "1e3",
    "yes",
]
TEXTS = st.one_of(st.sampled_from(_AWKWARD), st.text(st.characters(exclude_categories=["Cs"]), max_size=12))
WHOLE = st.integers(-(10**20), 10**20)
NUMBERS = st.one_of(WHOLE, st.floats(allow_nan=False, allow_infinity=False))
NAMES = st.one_of(st.sampled_from(["x005F_", "_x0041_"]), st.from_regex(r"[A-Za-z][A-Za-z0-9_]{0,5}", fullmatch=True))


def documents(model: type[BaseModel]) -> st.SearchStrategy[dict[str, Any]]:
    """Return a strategy for the tables that *model* allows; keys that need not be there may be left out."""
    needed = {name: _values(name, one.annotation) for name, one in model.model_fields.items() if one.is_required()}
    others = {name: _values(name, one.annotation) for name, one in model.model_fields.items() if not one.is_required()}
    return st.fixed_dictionaries(needed, optional=others)


def _values(name: str, annotation: Any) -> st.SearchStrategy[Any]:  # noqa: ANN401
    match kind_of(annotation):
        case Kind.TABLE:
            return documents(model_of(annotation))
        case Kind.TABLES:
            return st.lists(documents(model_of(annotation)), max_size=3)
        case Kind.NAMED:
            # No two things of a rubric have the same name, so each part has names of its own.
            names = NAMES.map(lambda said: f"{name}_{said}")
            return st.dictionaries(names, documents(model_of(annotation)), max_size=3)
    return _plain(bare(annotation))


def _plain(wanted: Any) -> st.SearchStrategy[Any]:  # noqa: ANN401
    origin, inside = get_origin(wanted), get_args(wanted)
    if origin is Literal:
        return st.sampled_from(inside)
    if origin is list:
        return st.lists(_plain(bare(inside[0])), max_size=3)
    if origin is dict:
        return st.dictionaries(TEXTS, _plain(bare(inside[1])), max_size=3)
    if inside:
        return st.one_of(*(_plain(bare(one)) for one in inside))
    if isinstance(wanted, type) and issubclass(wanted, BaseModel):
        return documents(wanted)
    return {str: TEXTS, bool: st.booleans(), int: WHOLE, float: NUMBERS}[wanted]
