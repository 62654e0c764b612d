"""The contract as OpenAPI 3.1, made from the schemas that check requests and a list of operations. `python -m service.openapi` writes it."""
