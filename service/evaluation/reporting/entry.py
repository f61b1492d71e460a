"""The entry of one judged check in a reply: value, limit, doubt, explanation, working."""

from service.evaluation.judging.judge import Judgement
from service.evaluation.judging.spread import Spread
from service.evaluation.planning.plan import CheckPlan, Plan
from service.evaluation.reporting.doubt import doubt, doubt_sentence
from service.evaluation.reporting.sentences import Writer, say
from service.evaluation.reporting.working import working
from service.rulebook.rulebook import Rulebook


def source_of(rulebook: Rulebook, id: str, full: bool) -> dict:
    """How far a number may be trusted; at full with the citation."""
    source = rulebook.sources[id]
    return {"kind": source.kind, "citation": source.citation} if full else {"kind": source.kind}


class EntryWriter:
    """Writes the entries of one rulebook."""

    def __init__(self, rulebook: Rulebook, writer: Writer):
        self.rulebook = rulebook
        self.writer = writer

    def entry(
        self,
        one: CheckPlan,
        made: Judgement,
        spread: Spread | None,
        request,
        plan: Plan,
        values: list,
        failed: dict[int, int],
    ) -> tuple[dict, str]:
        """The entry and its first sentence, which is what a headline says."""
        check, system, full = one.check, request.units, request.detail == "full"
        static = self._static(one, made, plan, system, full)
        shower = static["shower"]
        # A pass at summary is short: what was judged, and that nothing was found.
        short = made.verdict == "pass" and not full
        entry = (
            {"check": check.id, "verdict": made.verdict}
            if short
            else {"check": check.id, "title": check.title, "verdict": made.verdict}
        )
        entry["value"] = shower.measure(made.value)
        if not short:
            entry["limit"] = shower.measure(made.limit) | {
                "side": made.bound.side,
                "source": static["source"],
            }
            if made.margin is not None:
                entry["margin"] = round(made.margin, 4)
        if made.point:
            entry["judged_at"] = made.point
        if one.not_judged or made.unworked:
            entry["not_judged_at"] = [*one.not_judged, *made.unworked]
        in_doubt = "ranges" in request.include
        if in_doubt and (one.leaning or spread):
            entry |= doubt(self.rulebook, shower, spread, made.verdict, static["unsized"], full)
        first, rest = self._explanation(static, made, values, failed, short)
        if in_doubt and (sentence := doubt_sentence(self.rulebook, shower, spread)):
            rest.append(sentence)
        entry["explanation"] = " ".join([first, *rest])
        if one.leaning:
            entry["leans_on"] = static["leans_on"]
        if not short and check.cautions:
            entry["cautions"] = check.cautions
        if full:
            names = [
                self.rulebook.identify(bound.judges, made.point)
                for bounds in check.limits.values()
                for bound in bounds
            ]
            names += [
                name
                for shown in check.shows
                if plan.resolution.known(name := self.rulebook.identify(shown, made.point))
            ]
            entry["working"] = working(
                self.rulebook,
                self.writer,
                plan,
                list(dict.fromkeys([self.rulebook.identify(check.judges, made.point), *names])),
                values,
                failed,
                system,
            )
        return entry, first

    def _explanation(
        self, static: dict, made: Judgement, values: list, failed: dict[int, int], short: bool
    ) -> tuple[str, list[str]]:
        first = say(static["sentences"][:1], values, failed, made)
        rest = (
            [] if short else [say([sentence], values, failed, made) for sentence in static["sentences"][1:]]
        )
        if made.held_back:
            rest.append("The speed this is judged at is assumed, so it can warn and not fail.")
        if made.eased:
            rest.append(say(static["eased"], values, failed, made))
        if made.second:
            rest.append(say(static["second"], values, failed, made.second))
        return first, [sentence for sentence in rest if sentence]

    def _static(self, one: CheckPlan, made: Judgement, plan: Plan, system: str, full: bool) -> dict:
        """What hangs on plan, point, verdict and units only, made once."""
        second = made.second.point if made.second else None
        key = (made.point, second, made.verdict, made.eased, made.held_back, id(made.bound), system, full)
        if key not in one.static:
            check = one.check
            judged = self.rulebook.identify(check.judges, made.point)
            shown = self.rulebook.identify(made.bound.judges, made.point)
            leans = [plan.resolution.leans[lean] for lean in one.leaning]
            one.static[key] = {
                "shower": self.writer.shower_of(shown, system),
                "sentences": [
                    self.writer.prepare(text, plan, made.point, shown, system)
                    for text in check.text["fail" if made.eased or made.held_back else made.verdict]
                ],
                "eased": [
                    self.writer.prepare(text, plan, made.point, judged, system)
                    for text in check.text.get("eased", ())
                ],
                "second": [
                    self.writer.prepare(text, plan, second, judged, system)
                    for text in check.text["second_look"]
                ]
                if second
                else [],
                "source": source_of(self.rulebook, made.bound.source, full),
                "leans_on": list(dict.fromkeys(lean.input or lean.id for lean in leans)),
                "unsized": [lean.input for lean in leans if lean.table],
            }
        return one.static[key]
