"""oneclimb: a rule-based placement linter for security-camera installs."""

__version__ = "0.1.0"
