"""HTML pages: parse, call one action, render. No rule stands here or in a template."""
