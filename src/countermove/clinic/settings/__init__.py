"""Settings, one module a profile; `desk` is the practice's own laptop, `site` a server."""
