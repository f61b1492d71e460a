"""The tools, in the order a conversation needs them."""

from service.web.tools.choosing import CHOOSE
from service.web.tools.judging import JUDGE
from service.web.tools.limiting import LIMIT
from service.web.tools.looking_up import LOOK_UP
from service.web.tools.pulls import COMPARE
from service.web.tools.sizing import SIZE
from service.web.tools.tool import Tool

TOOLS: tuple[Tool, ...] = (JUDGE, SIZE, LIMIT, CHOOSE, COMPARE, LOOK_UP)
BY_NAME = {tool.name: tool for tool in TOOLS}
