import json
import time

from gowngroup.batches.actions.plans import commit_plan
from gowngroup.batches.models import *
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.drawing import lay_drawing
from gowngroup.batches.templatetags.plans import why
from tests.batches import months


def test_try(coordinator, capsys):
    by = coordinator
    months.catalog(by)
    months.cloth(by)
    months.cloth(by, 3 * months.METRE, has_nap=False) if False else months.cloth(by, 3 * months.METRE)
    months.sundries(by)
    w = months.ward(1000, 1500, 2500, 3500)
    months.ask(by, w, (1000, 4), (1500, 3), (2500, 6), (3500, 2))
    with capsys.disabled():
        t = time.time()
        b = months.proposed(by)
        print("propose", time.time() - t)
        for l in b.lines.all():
            print(l, l.purpose, why(l), l.reason)
        for c in b.choices.all():
            print(c.design_revision, c)
        from gowngroup.batches.actions.planning import make_plan

        t = time.time()
        p = make_plan(batch=b, by=by, at=months.AT)
        print("plan", time.time() - t, len(json.dumps(p.document)))
        s = StoredPlan.of(p)
        print(
            s.plan.shortages,
            s.plan.unmade,
            [(c.lot_key, c.lay.length_mm, c.lay.used_share, c.kit_keys) for c in s.plan.cuts],
        )
        t = time.time()
        for c in s.plan.cuts:
            lay_drawing(c)
        print("draw", time.time() - t)
        t = time.time()
        commit_plan(plan=p, by=by, at=months.AT)
        print("commit", time.time() - t)
        for k in Kit.objects.all()[:3]:
            print(k, k.number, k.minutes_low, k.minutes_high)
            for l in k.lines.all():
                print("   ", l.text, l.lot_id, l.amount)
        for r in Reservation.objects.all():
            print(r.lot, r.amount)
