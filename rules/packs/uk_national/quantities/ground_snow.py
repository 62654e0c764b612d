"""Snow on the ground by zone and altitude, with the sign of the altitude as corrigendum 1 has it."""

from __future__ import annotations

from rules.library import Citation, quantity

ZONE = Citation(
    "NA.2.8", seen="read", document="NA to BS EN 1991-1-3", edition="2003, corrigendum 1",
    source="public copy of the annex, https://vdocuments.us/bs-en-1991-1-3-2003-eurocode-1-actions-on-structures-general-actions-snow.html",
)  # fmt: skip


@quantity("s_k", "kN/m²", cites=ZONE)
def ground_snow(snow_base, snow_per_zone, snow_zone, snow_of_zones, site_altitude, snow_datum, snow_altitude):
    return snow_base + (snow_per_zone * snow_zone + snow_of_zones) + (site_altitude - snow_datum) / snow_altitude
