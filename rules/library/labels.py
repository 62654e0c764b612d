"""Words spread over an axis, kept as small integers so that tables are looked up in one step."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Word = str | None
"""One label; None: not stated."""


@dataclass(frozen=True, slots=True)
class Labels:
    """An array of words. words: the distinct ones; codes: index into words at every place of the axis."""

    words: tuple[Word, ...]
    codes: NDArray[np.intp]

    @classmethod
    def of(cls, words: Iterable[Word]) -> Labels:
        """From one word per place."""
        listed = list(words)
        distinct = tuple(dict.fromkeys(listed))
        place = {word: code for code, word in enumerate(distinct)}
        return cls(distinct, np.array([place[word] for word in listed], dtype=np.intp))

    @classmethod
    def one(cls, word: Word) -> Labels:
        """The same word everywhere (broadcasts against any axis)."""
        return cls((word,), np.zeros((), dtype=np.intp))

    def spread(self, index: NDArray[np.intp]) -> Labels:
        """The word of element index[i] at every place i."""
        return Labels(self.words, self.codes[index])

    def down(self) -> Labels:
        """As a column, to broadcast over combinations."""
        return Labels(self.words, self.codes[:, None])

    def equals(self, word: str) -> NDArray[np.bool_]:
        """Where the label is this word."""
        return np.array([each == word for each in self.words], dtype=np.bool_)[self.codes]
