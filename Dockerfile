# The service's image: a virtual environment on a slim Python, and nothing else.

FROM python:3.11-slim AS build

ENV VENV=/opt/venv TOOLS=/opt/tools DIST=/opt/dist \
    PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_ONLY_BINARY=:all: PIP_ROOT_USER_ACTION=ignore

WORKDIR /src

# Dependencies change less often than sources, so their layers come first and are reused.
COPY requirements.lock requirements-build.lock ./
RUN python -m venv "$VENV" && \
    "$VENV/bin/pip" install --quiet --no-cache-dir --require-hashes --no-deps -r requirements.lock && \
    python -m venv "$TOOLS" && \
    "$TOOLS/bin/pip" install --quiet --no-cache-dir --require-hashes --no-deps -r requirements-build.lock

COPY pyproject.toml README.md LICENSE ./
COPY service service
COPY plugins plugins
# The environment is final once the wheel is in, so the installer leaves it too.
RUN "$TOOLS/bin/hatchling" build --target wheel --directory "$DIST" && \
    "$VENV/bin/pip" install --quiet --no-cache-dir --no-index --no-deps "$DIST"/*.whl && \
    "$VENV/bin/pip" check && \
    "$VENV/bin/pip" uninstall --yes setuptools pip


FROM python:3.11-slim

LABEL org.opencontainers.image.title="tallyplate" \
      org.opencontainers.image.description="A stateless REST pricing service for plate-shaped parts" \
      org.opencontainers.image.version="0.2.0" \
      org.opencontainers.image.licenses="Apache-2.0"

# The path is the one it was made at: the scripts of a virtual environment name it.
COPY --from=build /opt/venv /opt/venv

# Nothing is written at run time, so the root file system may be read-only.
ENV PATH=/opt/venv/bin:$PATH \
    PYTHONDONTWRITEBYTECODE=1 \
    PYTHONUNBUFFERED=1

# A number, since orchestrators that forbid root can't check a name. It owns nothing in the image.
USER 10001:10001

EXPOSE 8080

# The image has no curl. An answer of 400 or above raises, and so exits non-zero.
HEALTHCHECK --interval=10s --timeout=3s --start-period=10s --retries=3 \
    CMD ["python", "-c", "import urllib.request as r; r.urlopen('http://127.0.0.1:8080/health/ready', timeout=2)"]

# As it stands it shows everybody the demonstration's selling prices; see service/deploy for keys and cards of your own.
ENTRYPOINT ["tallyplate"]
CMD ["serve", "--host", "0.0.0.0", "--port", "8080", "--public"]
