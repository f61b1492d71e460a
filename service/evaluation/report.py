"""The reply: verdicts, explanations, what was assumed, what was not checked, what to ask."""

from service.evaluation.consistency import findings, usual_ranges
from service.evaluation.headline import headline
from service.evaluation.judge import SEVERITY, Judgement, judge
from service.evaluation.known import Known
from service.evaluation.plan import CheckPlan, Plan
from service.evaluation.questions import questions, two_readings
from service.evaluation.resolve import Lean
from service.evaluation.sentences import Writer, say
from service.evaluation.watch import watch
from service.evaluation.working import working
from service.rulebook.rulebook import Rulebook


# More than anybody will ask a customer in one go; all of them come at full.
QUESTIONS_AT_SUMMARY = 8


class Reporter:
    """Writes replies for one rulebook."""

    def __init__(self, rulebook: Rulebook, writer: Writer):
        self.rulebook = rulebook
        self.writer = writer
        self.usual = usual_ranges(rulebook)
        self.two_readings = two_readings(rulebook)
        self.identity = {"version": rulebook.version, "digest": rulebook.digest}

    def report(self, request, known: Known, plan: Plan, values: list, failed: dict[int, int]) -> dict:
        """The whole reply at the detail asked for."""
        checks, not_checked, not_applicable = [], plan.not_checked, plan.not_applicable
        unworked: dict[str, str] = {}
        judged_by: list[tuple[CheckPlan, Judgement]] = []
        for one in plan.checks:
            made = judge(one, values, failed)
            if isinstance(made, Judgement):
                judged_by.append((one, made))
                checks.append(self._check(one, made, request, plan, values, failed))
                continue
            not_checked = [entry for entry in not_checked if entry[0] != one.check.id]
            if made is None:
                not_applicable = [*not_applicable, (one.check.id, one.check.otherwise)]
            else:
                not_checked = [*not_checked, (one.check.id, [])]
                unworked[one.check.id] = self._failed_step(made)
        if plan.consistency:
            checks.append(self._consistency(request, known, plan, values, failed))
        checks.sort(key=_severity)
        self._caution_once(checks, request.moment)
        judged = {entry["check"] for entry in checks}
        verdict = self._whole(checks, judged, request)
        reply = {
            "verdict": verdict,
            "complete": not not_checked and not any("not_judged_at" in entry for entry in checks),
            "headline": headline(verdict, checks, not_checked, self.rulebook, request.require, judged),
        }
        if request.detail == "verdict":
            for word in ("fail", "warn"):
                named = [entry["check"] for entry in checks if entry["verdict"] == word]
                if named:
                    reply[word] = named
        else:
            reply["checks"] = checks
            reply["not_checked"] = self._listed("not_checked", plan, not_checked, lambda id, needs: self._not_checked(id, needs, unworked))
            reply["not_applicable"] = self._listed("not_applicable", plan, not_applicable, lambda id, reason: {"check": id, "reason": reason})
            reply["understood"] = [{"input": path, "text": text} for path, text in known.understood]
            reply["assumptions"] = self._assumptions(plan, request.units, request.detail == "full")
            if "questions" in request.include:
                asked = questions(self.rulebook, plan, self.two_readings.intersection(known.numbers))
                reply["questions"] = asked if request.detail == "full" else asked[:QUESTIONS_AT_SUMMARY]
            if request.moment:
                reply["watch"] = watch(self.rulebook, self.writer, plan, judged_by, request.moment, request.units, values, failed)
        reply["rulebook"] = self.identity
        reply["service"] = self.rulebook.version
        return reply

    def _caution_once(self, checks: list[dict], moment: str | None) -> None:
        """A caution is printed with the first check that calls for it, worst first; one for other moments not at all."""
        said: set[str] = set()
        for entry in checks:
            if "cautions" in entry:
                cautions = [self.rulebook.cautions[id] for id in entry["cautions"] if id not in said and not said.add(id)]
                entry["cautions"] = [caution.text for caution in cautions if not (moment and caution.moments) or moment in caution.moments]
                if not entry["cautions"]:
                    del entry["cautions"]

    def _whole(self, checks: list[dict], judged: set[str], request) -> str:
        if not judged or any(required not in judged for required in request.require):
            return "not_checked"
        # A spec that only does not contradict itself has not been judged.
        if judged == {"spec-consistency"} and request.checks != ("spec-consistency",) and all(entry["verdict"] == "pass" for entry in checks):
            return "not_checked"
        return max((entry["verdict"] for entry in checks), key=SEVERITY.__getitem__)

    def _failed_step(self, slot: int) -> str:
        node = next(node for node in self.rulebook.graph.nodes.values() if node.slot == slot)
        return f"{node.quantity.label} cannot be worked out from these numbers (outside the range its formula or curve holds for)."

    def _listed(self, key: str, plan: Plan, entries: list, make) -> list[dict]:
        """A list of the reply; made once a plan unless this run changed it."""
        if entries is not getattr(plan, key):
            return [make(*entry) for entry in entries]
        if key not in plan.texts:
            plan.texts[key] = [make(*entry) for entry in entries]
        return plan.texts[key]

    def _not_checked(self, id: str, needs: list, unworked: dict[str, str]) -> dict:
        entry = {"check": id, "needs": [list(group) for group in needs]}
        if id in unworked:
            entry["reason"] = unworked[id]
        return entry

    def _check(self, one: CheckPlan, made: Judgement, request, plan: Plan, values: list, failed: dict[int, int]) -> dict:
        check, system = one.check, request.units
        static = self._static(one, made, plan, system, request.detail == "full")
        value = static["shower"].measure(made.value)
        # A pass at summary is short: what was judged, and that nothing was found.
        short = made.verdict == "pass" and request.detail == "summary"
        if short:
            entry = {"check": check.id, "verdict": made.verdict, "value": value}
        else:
            entry = {"check": check.id, "title": check.title, "verdict": made.verdict, "value": value}
            entry["limit"] = static["shower"].measure(made.limit) | {"side": made.bound.side, "source": static["source"]}
            if made.margin is not None:
                entry["margin"] = round(made.margin, 4)
        if made.point:
            entry["judged_at"] = made.point
        if one.not_judged or made.unworked:
            entry["not_judged_at"] = [*one.not_judged, *made.unworked]
        entry["explanation"] = self._explanation(static, made, values, failed, short)
        if one.leaning:
            entry["leans_on"] = static["leans_on"]
        if not short and check.cautions:
            entry["cautions"] = check.cautions
        if request.detail == "full":
            names = [self.rulebook.identify(bound.judges, made.point) for bounds in check.limits.values() for bound in bounds]
            names += [name for shown in check.shows if plan.resolution.known(name := self.rulebook.identify(shown, made.point))]
            entry["working"] = working(self.rulebook, self.writer, plan, list(dict.fromkeys([self.rulebook.identify(check.judges, made.point), *names])), values, failed, system)
        return entry

    def _explanation(self, static: dict, made: Judgement, values: list, failed: dict[int, int], short: bool) -> str:
        text = say(static["sentences"][:1] if short else static["sentences"], values, failed, made)
        if made.held_back:
            text += " The speed this is judged at is assumed, so it can warn and not fail."
        if made.eased:
            text += " " + say(static["eased"], values, failed, made)
        if made.second:
            text += " " + say(static["second"], values, failed, made.second)
        return text

    def _static(self, one: CheckPlan, made: Judgement, plan: Plan, system: str, full: bool) -> dict:
        """What hangs on plan, point, verdict and units only, made once."""
        second = made.second.point if made.second else None
        key = (made.point, second, made.verdict, made.eased, made.held_back, id(made.bound), system, full)
        if key not in one.static:
            check = one.check
            judged = self.rulebook.identify(check.judges, made.point)
            one.static[key] = {
                "shower": self.writer.shower_of(self.rulebook.identify(made.bound.judges, made.point), system),
                "sentences": [self.writer.prepare(text, plan, made.point, self.rulebook.identify(made.bound.judges, made.point), system) for text in check.text["fail" if made.eased or made.held_back else made.verdict]],
                "eased": [self.writer.prepare(text, plan, made.point, judged, system) for text in check.text.get("eased", ())],
                "second": [self.writer.prepare(text, plan, second, judged, system) for text in check.text["second_look"]] if second else [],
                "source": self._source(made.bound.source, full),
                "leans_on": list(dict.fromkeys(plan.resolution.leans[lean].input or lean for lean in one.leaning)),
            }
        return one.static[key]

    def _consistency(self, request, known: Known, plan: Plan, values: list, failed: dict[int, int]) -> dict:
        check = plan.consistency
        found = findings(self.rulebook, self.writer, self.usual, plan, known, values, failed, request.units)
        verdict = max((one.verdict for one in found), key=SEVERITY.__getitem__, default="pass")
        entry = {"check": check.id, "title": check.title, "verdict": verdict}
        if found:
            entry["explanation"] = " ".join(one.text for one in found)
            entry["findings"] = [{"kind": one.kind, "verdict": one.verdict, "inputs": one.names, "text": one.text} for one in found]
        else:
            entry["explanation"] = "".join(part for part in check.text["pass"][0].parts)
        return entry

    def _assumptions(self, plan: Plan, system: str, full: bool) -> list[dict]:
        key = ("assumptions", system, full)
        if key not in plan.texts:
            plan.texts[key] = self.assumptions(plan.leans, system, full)
        return plan.texts[key]

    def assumptions(self, leans: list[Lean], system: str, full: bool) -> list[dict]:
        """What was taken because it was not said, with its range and how far it may be trusted."""
        return [self._assumption(lean, system, full) for lean in leans]

    def _assumption(self, lean: Lean, system: str, full: bool) -> dict:
        if lean.table:
            table = self.rulebook.tables[lean.table]
            row = table.rows["unknown"]
            return {"input": lean.input, "label": table.label, "text": row.label, "source": self._source(row.source, full)}
        one = self.rulebook.assumptions[lean.id]
        shower = self.writer.shower_of(f"assumed__{one.name}", system)
        entry = {"input": lean.input or one.name, "label": one.label, "text": shower.text(lean.row.typical), "between": f"{shower.text(lean.row.low)} and {shower.text(lean.row.high)}"}
        if full:
            entry["value"] = shower.measure(lean.row.typical)
            entry["range"] = {"low": shower.measure(lean.row.low), "high": shower.measure(lean.row.high)}
        return entry | {"source": self._source(lean.row.source, full)}

    def _source(self, id: str, full: bool) -> dict:
        """How far a number may be trusted; at full with the citation."""
        source = self.rulebook.sources[id]
        return {"kind": source.kind, "citation": source.citation} if full else {"kind": source.kind}


def _severity(entry: dict) -> int:
    return -SEVERITY[entry["verdict"]]
