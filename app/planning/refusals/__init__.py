"""What a day file may not say: one file a family of rules, one function a rule."""
