"""One rule a file, named after its slug; its cases lie beside it."""
