"""The forms of files: what was read is checked before it is believed, and told in plain words where it does not fit."""

import json

from pydantic import BaseModel, ConfigDict, ValidationError


class Form(BaseModel):
    """The content of a file. Its first field is its version; it holds nothing that the form does not name."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def read_form(form, raw, name, error, advice, read=json.loads):
    """The content of a file of version 1; what is wrong is raised as an error of that class with that advice."""
    try:
        data = read(raw.decode("utf-8-sig"))
    except (ValueError, RecursionError) as cause:
        raise error.about(name, f"is damaged or cut off ({str(cause)[:120]})", advice=advice) from cause
    version = data.get(next(iter(form.model_fields)), 1) if isinstance(data, dict) else 1
    if version != 1:
        raise error.about(name, f"is of version {str(version)[:20]}", advice="update the workbook to read it")
    try:
        return form.model_validate(data)
    except ValidationError as cause:
        first = cause.errors(include_url=False, include_input=False)[0]
        where = " / ".join(str(step)[:40] for step in first["loc"]) or "the whole file"
        told = f"is damaged or was edited by hand, and cannot be used at {where} ({first['msg'][:120]})"
        raise error.about(name, told, advice=advice) from cause
