"""The findings on one joint without asking every check of all the others."""

from __future__ import annotations

from dataclasses import replace

from dossier.checks import OF_JOINTS, OF_PROJECT, run
from dossier.coverage.view import View
from dossier.records.verdicts import Finding


def findings_on(seen: View, number: str) -> list[Finding]:
    """What a full run finds about the joint, in the same order.

    Checks of the whole project are run in full, since a doubled film is found only beside the
    joint that shares it.
    """
    alone = replace(seen.project, joints=tuple(seen.known.joints.get(number, ())))
    own = [*run(replace(seen, project=alone), OF_JOINTS), *run(seen, OF_PROJECT)]
    order = [*OF_JOINTS, *OF_PROJECT]
    about = [finding for finding in own if finding.about("joint") == number]
    return sorted(about, key=lambda f: (-f.verdict, order.index(f.check), f.subject))
