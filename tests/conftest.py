"""How laws are tried: on the same examples at every run, so that a red build is always about the change it stands under; on fresh ones
where somebody goes searching (`make prove`, or `make test ARGS=--hypothesis-profile=searching`)."""

from hypothesis import HealthCheck, settings

settings.register_profile("same-examples", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("searching", deadline=None, print_blob=True)
settings.load_profile("same-examples")
