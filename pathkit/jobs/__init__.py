"""From a job file to jobs for machines; `audit` holds what came of it against the file's own tables."""
