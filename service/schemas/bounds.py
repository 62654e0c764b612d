"""The validators the request schemas use. This is the whole list: a compiled gate has to be able to mirror each of them.

Every one of them is a closed statement about one value (a range, a length, a pattern, a list of words); none looks at another
field. What holds between fields is in rules.subject.consistency.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from marshmallow import ValidationError

from service.schemas.complaints import UnknownWord, against, describe, sentence

_UNSEEN = r"\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff"
"""Control characters, line and paragraph separators, direction marks and other characters nobody sees."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """A number between `least` (or above `above`) and `most`, in `unit`."""

    least: float | None = None
    above: float | None = None
    most: float | None = None
    unit: str | None = None

    def __call__(self, value: float) -> None:
        """Raise ValidationError when the value is outside."""
        low = (self.above is not None and value <= self.above) or (self.least is not None and value < self.least)
        if low or (self.most is not None and value > self.most):
            detail = f"{value:.9g}{self._unit()} is out of range."
            raise against("out-of-range", detail, self.words(), f"Give a number {self.words()}.")

    def words(self) -> str:
        """The range in words: "above 0, at most 5000 mm"."""
        parts = [f"above {self.above:g}"] if self.above is not None else []
        parts += [f"at least {self.least:g}"] if self.least is not None else []
        parts += [f"at most {self.most:.9g}"] if self.most is not None else []
        return ", ".join(parts) + self._unit()

    def _unit(self) -> str:
        return f" {self.unit}" if self.unit else ""


@dataclass(frozen=True, slots=True)
class Length:
    """A text of `min` to `max` characters. The names are those the OpenAPI generator looks for."""

    min: int
    max: int
    equal: None = None

    def __call__(self, value: str) -> None:
        """Raise ValidationError when the text is shorter or longer."""
        if not self.min <= len(value) <= self.max:
            allowed = f"{self.min} to {self.max} characters"
            detail = f"The text has {len(value)} characters." if value else "The text is empty."
            raise against("wrong-length", detail, allowed, f"Use {allowed}.")


@dataclass(frozen=True, slots=True)
class Pattern:
    """A text that matches a regular expression as a whole. means: the pattern in words."""

    pattern: str
    means: str

    @property
    def regex(self) -> re.Pattern[str]:
        """The compiled expression; the name is the one the OpenAPI generator looks for."""
        return re.compile(self.pattern)

    def __call__(self, value: str) -> None:
        """Raise ValidationError when the text does not match."""
        if value and self.regex.fullmatch(value) is None:
            raise against("wrong-form", sentence(f"{describe(value)} cannot stand here."), self.means, f"Use {self.means}.")


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of a closed list of words."""

    choices: tuple[str, ...]

    def __call__(self, value: str) -> None:
        """Raise ValidationError when the word is not in the list."""
        if value not in self.choices:
            raise ValidationError([UnknownWord(self.choices)])


PRINTABLE = Pattern(rf"^[^{_UNSEEN}]*$", "characters that can be seen (no control characters, direction marks or line breaks)")
IDENTIFIER = Pattern(rf"^(?! )[^{_UNSEEN}]*(?<! )$", "characters that can be seen, without a space at either end")
SLUG = Pattern(r"^[a-z][a-z0-9]*(?:-[a-z0-9]+)*$", "small letters, digits and hyphens, as in workshop-practice")
RULE = Pattern(r"^[a-z][a-z0-9-]*/[a-z0-9][a-z0-9-]*$", "pack/rule, as in eurocode-timber/shear")
PACK = Pattern(r"^[a-z][a-z0-9-]*(?:==[^@=\s]+(?: [^@=\s]+)*(?:@[0-9]+\.[0-9]+\.[0-9]+)?)?$", "id, id==edition or id==edition@release")
PROPERTY = Pattern(
    r"^[a-z][a-z0-9_]*_(?:mpa|kg_per_m3)$", "small letters, digits and underscores that end in _mpa or _kg_per_m3, as in f_b_mpa"
)
COUNTRY = Pattern(r"^[A-Z]{2}$", "the two capital letters of ISO 3166-1, as in GB")
SUBDIVISION = Pattern(r"^[A-Z]{2}-[A-Z0-9]{1,3}$", "a code of ISO 3166-2, as in GB-ENG")
FINDING = Pattern(r"^[0-9a-f]{16}$", "the 16 letters and digits of a finding's id")
DIGEST = Pattern(r"^sha256:[0-9a-f]{64}$", "sha256: and 64 letters and digits, as a report's receipt gives it")
