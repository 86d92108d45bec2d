"""Each cost module and the cycles it charges for, by goldens worked by hand from round figures of an invented shop."""
