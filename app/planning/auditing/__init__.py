"""Every rule of a plan, once, in plain arithmetic: a file a family, a function a rule."""
