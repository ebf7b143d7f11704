"""Many client folders: jobs, workers behind `concurrent.futures.Executor`, one outcome for each."""
