"""What measuring speed needs: whole runs watched from outside, and posters drawn where they weigh on none."""
