"""One file a format; each dresses a report document: `render(report, source) -> bytes`."""
