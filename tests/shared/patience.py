"""Settings under which a busy machine does not turn answers into 503: how long they take is asked elsewhere."""

from service.settings import Settings

PATIENT = Settings(deadline_s=600.0)
