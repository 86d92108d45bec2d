"""What the service is made of: its parts, their licences and known vulnerabilities, and the same wheel every time."""
