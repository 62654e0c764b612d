"""`python -m service.openapi [PATH]`: write the contract to a file, openapi.yaml when none is named."""

import sys
from pathlib import Path

from service.openapi.document import reference

Path(sys.argv[1] if len(sys.argv) > 1 else "openapi.yaml").write_bytes(reference())
