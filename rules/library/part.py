"""A part of some evidence: the same quantities in some of its combinations."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.library.evidence import Evidence
from rules.library.given import Array, taken


class Part(Evidence):
    """What does not vary with the combination is worked out once, in the whole, for all its parts.

    whole: what it is a part of; rows: which combinations of that it holds.
    """

    def __init__(self, whole: Evidence, rows: NDArray[np.intp]) -> None:
        self.whole, self.rows = whole, rows
        super().__init__(whole.book, whole.values, whole.given, whole.plan)

    def _at_hand(self) -> dict[str, Any]:
        return {}

    def __getitem__(self, name: str) -> Any:
        """See Evidence."""
        known = self._known
        if name not in known:
            for each, varies in self.whole.track(name):
                if each not in known:
                    known[each] = self._work_out(each) if varies else self.whole[each]
        return known[name]

    def _work_out(self, name: str) -> Any:
        return taken(self.given[name].value, self.rows) if name in self.given else super()._work_out(name)

    def lacks(self, names: tuple[str, ...]) -> bool:
        """See Evidence."""
        return self.whole.lacks(names) and super().lacks(names)

    def _own_gap(self, name: str) -> Array | bool:
        gap = self.whole.gap(name)
        return gap if gap is False or not self.whole.varies(name) else super()._own_gap(name)
