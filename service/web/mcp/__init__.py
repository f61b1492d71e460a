"""The tools in the Model Context Protocol, by its reference SDK; only the command `mcp` imports this."""
