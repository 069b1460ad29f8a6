checks-job = job
