"""What outlives a session: the durable record of a job, and the paper and pages made from it."""
