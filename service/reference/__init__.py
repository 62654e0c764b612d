"""The reference at /docs: `openapi.yaml` for people. One page that asks no other address for anything."""
