"""The arguments that several tools share, as a model reads them."""

from service.web.api.json_schema import TEXT, Schema, described, list_of, one_of

EXAMPLE_BUILD = (
    '{"usage":"street","engine":{"displacement":"5.0 L","cylinders":8,"compression_ratio":"9.5:1",'
    '"redline":"6500 rpm"},"induction":{"kind":"twin screw","boost":"9 psi"},"fuel":{"octane":"93"},'
    '"fuel_system":{"injector_flow":"42 lb/h"},"target":{"power":"430 hp at the wheels"}}'
)
BUILD: Schema = {
    "type": "object",
    "description": "What is known, in the customer's words with their units; leave out what is not known, "
    f"never guess. Example: {EXAMPLE_BUILD}. look_up has the other names.",
}
SAME_BUILD: Schema = {"type": "object", "description": "As in judge_build."}
UNITS: Schema = described(one_of(("us", "metric")), "Of the answer.")
CHECKS = described(list_of(TEXT), "Only these check ids.")
SLOTS = described(list_of(TEXT), "Kinds of part: injectors, fuel_pump, clutch, turbo, ...")
