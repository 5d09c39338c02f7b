"""Every hypothesis strategy of the test suite, in one place."""
