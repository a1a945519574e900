"""Properties are tried on 50 networks each, and none fails for the machine being busy."""

from hypothesis import settings

settings.register_profile("networks", deadline=None, max_examples=50)
settings.load_profile("networks")
