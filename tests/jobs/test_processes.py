"""Several processes on one real database: a file for SQLite, or the PostgreSQL of PURLIN_DATABASE_URL."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]

ROOT = Path(__file__).parents[2]
HEAD = (
    "import django, json, sys, threading, time; django.setup(); from jobs import lease as leases, registry, running; "
)
HEAD += "from jobs.clock import database_now; from jobs.models import Job; "


@pytest.fixture
def environment(tmp_path) -> dict[str, str]:
    environment = os.environ | {"DJANGO_SETTINGS_MODULE": "tests.jobs.only_jobs", "PURLIN_VAR": str(tmp_path)}
    if connection.vendor == "postgresql":
        config = connection.settings_dict
        at = f"{config['USER']}:{config['PASSWORD']}@{config['HOST']}:{config['PORT']}" if config["HOST"] else ""
        environment["PURLIN_DATABASE_URL"] = f"postgres://{at}/{config['NAME']}"
        return environment
    run = [sys.executable, "-m", "django", "migrate", "-v0"]
    subprocess.run(run, cwd=ROOT, env=environment, check=True)
    return environment


def start(code: str, environment: dict[str, str]) -> subprocess.Popen[str]:
    run = [sys.executable, "-c", HEAD + code]
    return subprocess.Popen(run, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True)


def output(code: str, environment: dict[str, str]) -> str:
    said, _ = (process := start(code, environment)).communicate(timeout=120)
    assert process.returncode == 0
    return said.strip()


CREATE = "Job.objects.bulk_create(Job(name='test.note', run_at=database_now()) for _ in range({count}))"
CLAIM = """
def work(got):
    for job_id in Job.objects.values_list('pk', flat=True).order_by('pk'):
        if leases.claim(job_id, seconds=60, at=database_now()):
            got.append(job_id)
lists = [[] for _ in range(3)]
threads = [threading.Thread(target=work, args=(got,)) for got in lists]
[t.start() for t in threads]; [t.join() for t in threads]
print(json.dumps(sum(lists, [])))
"""


def test_three_processes_of_three_threads_claim_each_job_once(environment):
    output(CREATE.format(count=150), environment)
    processes = [start("\n" + CLAIM, environment) for _ in range(3)]
    claimed = [job_id for process in processes for job_id in json.loads(process.communicate(timeout=120)[0])]

    assert len(claimed) == len(set(claimed)) == 150


LONG = """
@registry.task('test.long', lease_seconds=1)
def long():
    print('began', flush=True)
    time.sleep({seconds})
Job.objects.create(name='test.long', run_at=database_now())
"""
TRIES = """
for _ in range(6):
    print(leases.claim(Job.objects.get().pk, seconds=60, at=database_now()))
    time.sleep(.4)
"""
RUN = "print(running.run(Job.objects.get().pk))"


def test_lease_of_long_work_is_renewed_while_it_lasts(environment):
    worker = start("\n" + LONG.format(seconds=4) + RUN, environment)
    assert worker.stdout
    assert worker.stdout.readline() == "began\n"

    assert set(output(TRIES, environment).split()) == {"None"}
    worker.communicate(timeout=60)
    assert output("print(Job.objects.get().state)", environment) == "done"


def test_work_of_a_killed_process_can_be_claimed_when_its_lease_ran_out(environment):
    worker = start("\n" + LONG.format(seconds=60) + RUN, environment)
    assert worker.stdout
    assert worker.stdout.readline() == "began\n"
    worker.kill()
    worker.communicate()
    claim = "\ntime.sleep(1.2); print(leases.claim(Job.objects.get().pk, seconds=60, at=database_now()) is not None)"

    assert output(claim, environment) == "True"
    assert output("print(Job.objects.get().attempts)", environment) == "2"


WRITE_FOR_A_WHILE = """
end = time.time() + 6
while time.time() < end:
    Job.objects.filter(pk=1).update(hinted_at=database_now())
"""
RUN_ALL = """
registry.task('test.note')(lambda: None)
for pk in list(Job.objects.values_list('pk', flat=True)):
    running.run(pk)
print(Job.objects.filter(state='done').count())
"""


def test_jobs_run_on_a_database_that_others_keep_writing_to(environment):
    output(CREATE.format(count=60), environment)
    writers = [start(WRITE_FOR_A_WHILE, environment) for _ in range(2)]

    assert output(RUN_ALL, environment) == "60"
    for writer in writers:
        writer.communicate(timeout=60)


ENSURE_AND_DAWDLE = """
from django.db import transaction
import jobs
registry.task('test.again')(lambda: None)
with transaction.atomic():
    jobs.ensure('test.again')
with transaction.atomic():
    jobs.ensure('test.again')
    Job.objects.create(name='test.written', run_at=database_now())
    print('asked', flush=True)
    time.sleep(2)
"""
CLAIM_AND_LOOK = """
job = Job.objects.get(name='test.again')
claimed = leases.claim(job.pk, seconds=60, at=database_now()) is not None
print(claimed, Job.objects.filter(name='test.written').exists())
"""


def test_run_that_was_joined_starts_only_when_what_it_should_see_is_committed(environment):
    asking = start(ENSURE_AND_DAWDLE, environment)
    assert asking.stdout
    assert asking.stdout.readline() == "asked\n"

    assert output(CLAIM_AND_LOOK, environment) == "True True"
    asking.communicate(timeout=60)


ENSURE_TWO = """
from django.db import transaction
import jobs
registry.task('test.again')(lambda key: None)
for _ in range(5):
    with transaction.atomic():
        jobs.ensure('test.again', {first})
        time.sleep(.5)
        jobs.ensure('test.again', {second})
print('asked')
"""


def test_transactions_that_ask_for_the_same_runs_in_opposite_order_both_commit(environment):
    asking = [start(ENSURE_TWO.format(first=a, second=b), environment) for a, b in [(1, 2), (2, 1)]]
    said = [process.communicate(timeout=120)[0] for process in asking]

    assert [(process.returncode, words) for process, words in zip(asking, said, strict=True)] == [(0, "asked\n")] * 2
