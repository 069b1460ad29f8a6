"""From a job file to jobs for machines; `audit` compares the result with the file's own tables."""
