# The service as an image: built in one stage, run in another that holds neither compiler nor build tools.
#   docker build -t birdsmouth .
#   docker run --rm --read-only --tmpfs /dev/shm --tmpfs /tmp -p 8000:8000 -v ./tokens:/tokens:ro -e BIRDSMOUTH_TOKENS=/tokens birdsmouth
#   docker run --rm -i --read-only birdsmouth check - < design.json

FROM python:3.13-slim-bookworm AS build
ENV PIP_NO_CACHE_DIR=1 PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_ROOT_USER_ACTION=ignore
WORKDIR /source
COPY requirements-run.lock requirements-build.lock ./
RUN python -m venv /opt/birdsmouth \
 && /opt/birdsmouth/bin/python -m pip install --no-deps --require-hashes -r requirements-run.lock \
 && python -m pip install --no-deps --require-hashes -r requirements-build.lock
COPY pyproject.toml README.md LICENSE ./
COPY birdsmouth birdsmouth
COPY service service
COPY rules rules
COPY solver solver
RUN python -m pip wheel --no-deps --no-build-isolation --wheel-dir /wheels . \
 && /opt/birdsmouth/bin/python -m pip install --no-deps /wheels/*.whl \
 && /opt/birdsmouth/bin/python -m pip uninstall --yes pip \
 && /opt/birdsmouth/bin/python -m compileall -q /opt/birdsmouth/lib

FROM python:3.13-slim-bookworm
LABEL org.opencontainers.image.title="birdsmouth" \
      org.opencontainers.image.description="Checks timber roof trusses and floor joists against pluggable, cited rule packs" \
      org.opencontainers.image.licenses="Apache-2.0"
ENV PATH=/opt/birdsmouth/bin:$PATH PYTHONDONTWRITEBYTECODE=1 PYTHONUNBUFFERED=1 \
    OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1 MKL_NUM_THREADS=1
COPY --from=build /opt/birdsmouth /opt/birdsmouth
USER 65532:65532
WORKDIR /opt/birdsmouth
EXPOSE 8000
HEALTHCHECK --interval=10s --timeout=3s --start-period=30s --retries=3 \
  CMD ["python", "-c", "import urllib.request; urllib.request.urlopen('http://127.0.0.1:8000/readyz', timeout=2).close()"]
ENTRYPOINT ["birdsmouth"]
CMD ["serve", "--host", "0.0.0.0", "--port", "8000"]
