"""What may come next is worked out beforehand, and counts for nothing until it is asked for."""

import threading
import time

from weatherlap.run.states import State
from weatherlap.web.desk import Desk, _Kept

ACT = {"do": "seal", "piece": "sheathing", "edge": "top"}


def acts_of(own, job):
    """An act that can be done on some piece of the job, and the face that is seen."""
    said = own.get(f"/api/jobs/{job}").json()
    act = {"do": "seal", "piece": said["pieces"][0]["id"], "edge": "top"}
    return act, said["faces"][0]["id"]


def settle(site):
    """Wait until all that was foreseen is worked out."""
    site.foresight._hands.submit(int).result(timeout=60)


def test_a_foreseen_act_is_answered_as_any_other_and_faster(own, job, site):
    """The answer is the same letter by letter; it takes less than half of the work."""
    act, face = acts_of(own, job)
    body = {"base": 1, "act": act, "face": face}
    began = time.process_time()
    plain = own.post(f"/api/jobs/{job}/acts", json=body).json()
    cold_s = time.process_time() - began
    other = own.post("/api/jobs", json={"text": site.shelf.revision(job, 1).text}).json()["id"]
    site.desk.__init__()
    likely = {"base": 1, "acts": [act], "face": face}
    assert own.post(f"/api/jobs/{other}/likely", json=likely).status_code == 202
    settle(site)
    began = time.process_time()
    foreseen = own.post(f"/api/jobs/{other}/acts", json=body).json()
    assert time.process_time() - began < cold_s / 2 + 0.02
    plain["job"]["job"] = foreseen["job"]["job"]
    assert foreseen == plain


def test_what_is_foreseen_is_not_kept_as_a_revision(own, job, site):
    """Foreseeing leaves the job as it is; acts that cannot be done are passed over."""
    act, face = acts_of(own, job)
    wrong = {"do": "seal", "piece": "nobody", "edge": "top"}
    own.post(f"/api/jobs/{job}/likely", json={"base": 1, "acts": [wrong, act], "face": face})
    settle(site)
    assert site.shelf.head(job).number == 1


def test_a_real_act_goes_before_what_was_foreseen(own, job, site):
    """Acts that wait to be foreseen are dropped when something really happens."""
    act, face = acts_of(own, job)
    go = threading.Event()
    site.foresight._hands.submit(go.wait, 20)
    own.post(f"/api/jobs/{job}/likely", json={"base": 1, "acts": [act] * 3, "face": face})
    took = own.post(f"/api/jobs/{job}/acts", json={"base": 1, "act": act, "face": face})
    assert took.status_code == 200
    before = len(site.desk._boards._things)
    go.set()
    settle(site)
    assert len(site.desk._boards._things) == before


def test_two_who_ask_for_one_thing_wait_for_one_making():
    """The second one is given what the first one makes; a failure is not kept."""
    kept, count, go = _Kept(3), [], threading.Event()

    def make():
        count.append(1)
        go.wait(10)
        return len(count)

    found = []
    threads = [threading.Thread(target=lambda: found.append(kept.get(("a",), make))) for _ in "12"]
    for thread in threads:
        thread.start()
    go.set()
    for thread in threads:
        thread.join()
    assert found == [1, 1]


def test_the_desk_forgets_the_oldest(text):
    """No more worked-out jobs are kept than the desk has room for."""
    desk = Desk(most=2)
    for number in range(4):
        desk.worked(text.replace("[site]", f"# {number}\n[site]"), State.FOUND)
    assert len(desk._worked._things) <= 2
