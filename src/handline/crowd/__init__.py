"""The crowd on the line: who waits where and how long, when everybody queues, climbs and passes by the same rules."""
