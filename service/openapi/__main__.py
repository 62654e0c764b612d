"""`python -m service.openapi [PATH]`: write the contract to a file, openapi.yaml when none is named; with --harvest first look for examples."""

import sys
from pathlib import Path

from service.openapi.document import reference
from service.openapi.harvesting import harvest

named = [each for each in sys.argv[1:] if each != "--harvest"]
if "--harvest" in sys.argv:
    harvest()
Path(named[0] if named else "openapi.yaml").write_bytes(reference())
