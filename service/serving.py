"""gunicorn's configuration: `gunicorn --config python:service.serving service.http.wsgi:app`. It imports nothing but os.

Importing the package it is in has set BLAS to one thread by the time anything loads numpy. Workers are threads of few processes, so
that /healthz answers while a check runs; each process calculates one check at a time. Rule packs are read once, before the fork.
"""

import os

bind = os.environ.get("BIRDSMOUTH_BIND", "127.0.0.1:8080")
workers = int(os.environ.get("BIRDSMOUTH_WORKERS", "0")) or os.cpu_count() or 1
worker_class = "gthread"
threads = 8
preload_app = True
max_requests = 10_000
max_requests_jitter = 1_000
timeout = 60
graceful_timeout = 30
keepalive = 5
worker_tmp_dir = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
control_socket_disable = True
accesslog = "-"
access_log_format = '%({x-request-id}o)s "%(m)s %(U)s" %(s)s %(B)s %(M)sms'
limit_request_line = 4_094
limit_request_fields = 50
