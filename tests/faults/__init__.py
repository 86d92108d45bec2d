"""What goes wrong around the service: load, restarts, killed workers, full disks, clients that hang up."""
