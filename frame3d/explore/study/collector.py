"""Collect the faults of a study, each with its line."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from frame3d.errors import Fault, SourceLocation
from frame3d.parameters.reading.data import Reading
from frame3d.parameters.reading.explain import explain

M = TypeVar("M", bound=BaseModel)


@dataclass
class Collector:
    """The faults found so far, and where the keys and values of the study stand."""

    reading: Reading
    faults: list[Fault] = field(default_factory=list)

    def place(self, path: str) -> SourceLocation:
        """Return where the value at a dotted path stands, or what is around it."""
        values = self.reading.values
        while path and path not in values:
            path = path.rpartition(".")[0]
        return values[path]

    def add(self, code: str, path: str, message: str, hint: str, *, at_key: bool = False) -> None:
        """Add a fault at a dotted path of the study; at its key where that is what is wrong."""
        place = self.reading.keys.get(path) if at_key else None
        self.faults.append(Fault(code, path, message, hint, place or self.place(path)))

    def model(self, model: type[M], data: Any, path: str) -> M | None:
        """Return data of the study as a model; None where it is at fault, which is added."""
        try:
            return model.model_validate(data)
        except ValidationError as error:
            self.faults += explain(error, self.reading.values, self.reading.keys, model, path)
            return None
