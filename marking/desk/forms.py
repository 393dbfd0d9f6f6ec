"""What a form of ours sends: checked, limited, and never more than the page asked for."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request

from marking.desk.doors import Secret

MOST_FIELDS = 400
MOST_FILES = 400
MOST_TEXT = 20_000
"""Bytes of one field."""


class Sent(Struct, frozen=True, kw_only=True):
    """A form that came in."""

    fields: Mapping[str, str]
    """The last of each name."""
    lists: Mapping[str, tuple[str, ...]]
    files: tuple[UploadFile, ...]

    def text(self, name: str) -> str:
        """Return a field as one trimmed text; empty where it was not sent."""
        return self.fields.get(name, "").strip()

    def number(self, name: str) -> int:
        """Return a field as a whole number.

        Raises:
            HTTPException: It is none.
        """
        said = self.text(name)
        if not said.isascii() or not said.isdecimal() or len(said) > 6:
            raise HTTPException(400)
        return int(said)


async def read_form(request: Request, secret: Secret) -> Sent:
    """Return the form in *request*.

    Raises:
        HTTPException: It is not one of ours, or larger than any of ours.
    """
    form: FormData = await request.form(max_files=MOST_FILES, max_fields=MOST_FIELDS, max_part_size=MOST_TEXT)
    texts: dict[str, list[str]] = {}
    files = []
    for name, value in form.multi_items():
        if isinstance(value, str):
            if len(value) > MOST_TEXT:
                raise HTTPException(413)
            texts.setdefault(name, []).append(value)
        elif value.filename:
            files.append(value)
    token = texts.get("token", [""])[-1]
    if not secret.is_token(token):
        raise HTTPException(403)
    return Sent(
        fields={name: said[-1] for name, said in texts.items()},
        lists={name: tuple(said) for name, said in texts.items()},
        files=tuple(files),
    )
