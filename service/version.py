"""The version of the service, in one place: the package and the image take it from here."""

VERSION = "0.1.0"
