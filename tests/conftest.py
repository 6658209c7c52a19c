"""What every test shares: how far generated examples go. The cast of people comes from tests/factories.py."""

from hypothesis import settings

# Derandomised, so that a red test is red again when it is looked at.
settings.register_profile("quiltbook", deadline=None, max_examples=25, derandomize=True)
settings.load_profile("quiltbook")
