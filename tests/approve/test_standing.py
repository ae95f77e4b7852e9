"""Who may approve, which decision counts, and what is refused: forged, replayed, copied, lapsed."""

from __future__ import annotations

from copy import deepcopy
from datetime import date

import pytest

from builder.approve.decision import decision_digest
from builder.model.approval import SignedApproval
from tests.approve.signing import key_of, museum, public_of, read, renamed, resigned, signed, standing, stock_documents

PAGE = stock_documents()["page"]
LABEL = stock_documents()["label"]


def edited(old: str, new: str):  # type: ignore[no-untyped-def]
    document = deepcopy(PAGE)
    for block in document["blocks"]:
        for sentence in block["sentences"]:
            for span in sentence["spans"]:
                span["text"] = span["text"].replace(old, new)
    assert document != PAGE
    return document


EDITED = edited("mainly moths", "only moths")


def told(found) -> str:  # type: ignore[no-untyped-def]
    return " | ".join(f"{p.check}: {p.message}" for p in found.problems)


def test_nobody_has_signed() -> None:
    found = standing(PAGE)
    assert found.state == "not approved" and not found.approved
    assert told(found) == "not-approved: no curator has approved this piece"
    assert found.problems[0].mend == "ask `c-keeper` or `j-jars` or `b-bones` to approve it"
    assert found.problems[0].file == "page.md" and found.problems[0].path == ("piece",)


def test_approved() -> None:
    found = standing(PAGE, signed(PAGE))
    assert found.state == "approved" and found.problems == () and found.changes == ()
    assert found.lapses == date(2028, 11, 1)


def test_two_curators_share_the_collections() -> None:
    jars, bones = signed(PAGE, "j-jars"), signed(PAGE, "b-bones")
    one = standing(PAGE, jars)
    assert one.state == "not approved" and one.missing == ("bones",)
    assert told(one) == "not-approved: approved by `j-jars`, but by nobody for `bones`"
    assert standing(PAGE, jars, bones).approved


def test_an_author_never_approves() -> None:
    mine = signed(PAGE, "c-keeper")
    for authors in (("c-keeper",), ("a-writer", "Con Keeper"), ("con  keeper".replace("  ", " "),)):
        found = standing(PAGE, mine, authors=authors)
        assert found.state == "not entitled" and "is an author of this piece" in told(found)
    # nor for a part of the collections, while somebody else approves the rest
    assert not standing(PAGE, signed(PAGE, "j-jars"), signed(PAGE, "b-bones"), authors=("j-jars",)).approved


def test_without_the_right() -> None:
    found = standing(PAGE, signed(PAGE, "a-writer", house=museum(a_writer={"may_approve": ["jars"]})), authors=())
    assert found.state == "not entitled" and "may no longer approve what this was signed for: jars" in told(found)
    plain = signed(PAGE, "a-writer").plain
    claimed = resigned(plain, "a-writer", may_approve=["bones", "jars"])
    assert standing(PAGE, claimed, authors=()).state == "not entitled"
    assert "`a-writer` may not approve for" in told(standing(PAGE, signed(PAGE, "a-writer"), authors=()))


def test_the_right_role() -> None:
    house = museum({"approving_roles": ["curator", "scientist"]}, c_keeper={"role": "director"})
    found = standing(PAGE, signed(PAGE, house=house), house=house)
    assert found.state == "not entitled" and "whose role holds one of: curator, scientist" in told(found)
    assert standing(PAGE, signed(PAGE), house=museum({"approving_roles": ["Curator"]})).approved


def test_somebody_unknown() -> None:
    found = standing(PAGE, signed(PAGE), house=museum(c_keeper=None))
    assert found.state == "not entitled" and "is not among the people in museum.yml" in told(found)


def test_somebody_who_left() -> None:
    approval = signed(PAGE)
    assert standing(PAGE, approval, house=museum(c_keeper={"until": "2026-11-01"})).approved
    found = standing(PAGE, approval, house=museum(c_keeper={"until": "2026-10-31"}))
    assert found.state == "not entitled" and "had left by 2026-10-31" in told(found)


def test_another_key_in_the_name_of_a_curator() -> None:
    found = standing(PAGE, signed(PAGE, key="a-writer"))
    assert found.state == "bad signature" and "is not that of `c-keeper` in museum.yml" in told(found)
    # a forged decision holds the piece back even beside a good one
    assert standing(PAGE, signed(PAGE), signed(PAGE, key="a-writer", comment="forged")).state == "bad signature"


def test_a_key_put_aside_and_a_key_withdrawn() -> None:
    approval, old = signed(PAGE), public_of(key_of("c-keeper"))
    new = public_of(key_of("new key of c-keeper"))

    def stands(**former: object):  # type: ignore[no-untyped-def]
        return standing(PAGE, approval, house=museum(c_keeper={"key": new, "former_keys": [{"key": old, **former}]}))

    assert stands(until="2026-11-01").approved
    assert stands(until="2026-10-31").state == "bad signature"
    assert stands().state == "bad signature"
    stolen = stands(withdrawn=True, until="2027-01-01", because="the laptop was stolen")
    assert stolen.state == "bad signature" and "was withdrawn: the laptop was stolen" in told(stolen)
    # others can still approve it
    house = museum(c_keeper={"key": new, "former_keys": [{"key": old, "withdrawn": True}]})
    assert standing(PAGE, approval, signed(PAGE, "j-jars"), signed(PAGE, "b-bones"), house=house).approved
    # a key named as withdrawn counts for nothing though it is still the present one
    house = museum(c_keeper={"former_keys": [{"key": old, "withdrawn": True}]})
    assert standing(PAGE, approval, house=house).state == "bad signature"


def test_out_of_date_says_what_changed() -> None:
    found = standing(EDITED, signed(PAGE))
    assert found.state == "out of date" and len(found.changes) == 1
    assert told(found) == (
        "approval-out-of-date: this is not what was approved by `c-keeper` on 2026-11-01: 1 change, 1 serious: "
        "sentence 1 changed (certainty): Example newts eat [-mainly-]{+only+} moths."
    )


def test_replays() -> None:
    other = signed(LABEL, collections=("jars",))
    as_page = renamed(other, other.name.replace("label--", "page--"))
    found = standing(PAGE, as_page)
    assert found.state == "bad signature" and "this is an approval of `newt/label`, not of `newt/page`" in told(found)
    # an older text comes back: the newest decision of the person is about another
    first = signed(PAGE)
    second = signed(EDITED, after=[first], date="2026-11-02")
    assert standing(EDITED, first, second).approved
    assert standing(PAGE, first, second).state == "out of date"


def test_a_copy_is_refused() -> None:
    approval = signed(PAGE)
    found = standing(PAGE, approval, renamed(approval, "page--000000000000.yml"))
    assert found.state == "bad signature" and "it is a copy or was renamed" in told(found)


@pytest.mark.parametrize("name", ("page.yml", "other--000000000000.yml", "backup of page.yml"))
def test_a_file_renamed_is_told_of(name: str) -> None:
    found = standing(PAGE, renamed(signed(PAGE), name))
    assert found.state == "bad signature" and "it is a copy or was renamed" in told(found)


def test_changes_asked() -> None:
    first = signed(PAGE)
    asked = signed(PAGE, decision="changes asked", after=[first], comment="Which moths?\nAnd when?")
    found = standing(PAGE, first, asked)
    assert found.state == "changes asked"
    assert told(found) == "not-approved: `c-keeper` asked for changes on 2026-11-01: Which moths? And when?"
    again = signed(PAGE, after=[first, asked])
    assert standing(PAGE, first, asked, again).approved


def test_a_request_is_answered_by_a_new_text_and_somebody_entitled_who_saw_it() -> None:
    asked = signed(PAGE, "j-jars", decision="changes asked")
    assert standing(PAGE, asked, signed(PAGE, "c-keeper")).state == "changes asked"
    assert standing(PAGE, asked, signed(PAGE, "c-keeper", after=[asked])).state == "changes asked"
    assert standing(EDITED, asked, signed(EDITED, "c-keeper")).state == "changes asked"
    assert standing(EDITED, asked, signed(EDITED, "c-keeper", after=[asked])).approved


def test_a_request_of_somebody_not_entitled_holds_nothing_back() -> None:
    asked = signed(PAGE, "a-writer", decision="changes asked")
    assert standing(PAGE, asked, signed(PAGE)).approved


def test_an_earlier_decision_that_is_gone_is_missed() -> None:
    asked = signed(PAGE, "j-jars", decision="changes asked")
    approval = signed(PAGE, after=[asked])
    found = standing(PAGE, approval)
    assert found.state == "bad signature"
    assert f"1 earlier decision(s) that are gone: `page--{decision_digest(asked.plain)[:12]}.yml`" in told(found)


def test_two_decisions_on_two_computers() -> None:
    yes, no = signed(PAGE, comment="fine"), signed(PAGE, decision="changes asked", comment="not yet")
    assert standing(PAGE, yes, no).state == "changes asked"
    later = signed(PAGE, date="2026-11-02")
    assert standing(PAGE, later, no).approved


def test_lapse() -> None:
    approval = signed(PAGE, date="2024-11-25")
    assert standing(PAGE, approval).approved
    found = standing(PAGE, approval, today=date(2026, 11, 26))
    assert found.state == "lapsed"
    assert told(found) == "approval-out-of-date: the approval by `c-keeper` of 2024-11-25 lapsed after 2026-11-25"
    assert standing(PAGE, approval, house=museum({"review_months": 36}), today=date(2027, 11, 25)).approved


@pytest.mark.parametrize("day", ["2026-11-27", "2026-11", "2026-02-30", "yesterday"])
def test_a_day_that_is_none(day: str) -> None:
    assert standing(PAGE, signed(PAGE, date=day)).state == "bad signature"


def test_tomorrow_is_today_somewhere() -> None:
    assert standing(PAGE, signed(PAGE, date="2026-11-26")).approved


def test_without_objects_one_curator_will_do() -> None:
    assert standing(PAGE, signed(PAGE, "j-jars", collections=()), collections=()).approved
    assert standing(PAGE, signed(PAGE, "a-writer", collections=()), collections=(), authors=()).state == "not entitled"


def test_every_value_is_under_the_signature() -> None:
    plain = dict(signed(PAGE, comment="Seen.", shown=["warning: long-sentence: it is long"]).plain)
    for key in plain:
        if key == "signature":
            continue
        changed = {**plain, key: "changed" if isinstance(plain[key], str) else []}
        found = standing(PAGE, read(changed, "page--whatever.yml"))
        assert found.state == "bad signature", key
        left_out = {name: value for name, value in plain.items() if name != key}
        assert standing(PAGE, read(left_out, "page--whatever.yml")).state == "bad signature", key


def test_a_broken_file_beside_a_good_one() -> None:
    broken = SignedApproval("page--abc.yml", None, problems=read({}, "page--abc.yml").problems)
    assert broken.problems and standing(PAGE, signed(PAGE), broken).state == "bad signature"
