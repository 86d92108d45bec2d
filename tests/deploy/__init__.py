"""The manifests beside the service: good by the schemas, and in agreement with the service and with each other."""
