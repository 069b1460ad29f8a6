"""What is handed over: a folder for each machine, and the demo job that shows one."""
