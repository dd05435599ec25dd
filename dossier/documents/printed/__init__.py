"""Documents made of facts, drawings and tables only: one builder each, all of one shape."""
