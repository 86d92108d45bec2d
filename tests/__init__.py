"""Tests of the service and of the plugins that come with it."""
