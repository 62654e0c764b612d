"""The contract as it is published, and sound designs to hold it against."""

import json
from typing import Any

from service.demo import design_names, read_design
from service.openapi.document import document
from service.openapi.examples import SMALL_ROOF

CONTRACT: dict[str, Any] = document()
BODIES: dict[str, Any] = {"example": SMALL_ROOF, **{name: json.loads(read_design(name)) for name in design_names()}}
