#!/bin/sh
# A study as a Slurm job array, one task per part. Every task writes its part into the same folder, which all
# nodes must see. From the top folder of the project, for 64 parts:
#
#   scullery sweep scenarios/studies/crew-and-conveyor.toml --check
#   job=$(sbatch --parsable --array=1-64 scenarios/batch/slurm-array.sh \
#       scenarios/studies/crew-and-conveyor.toml --out output/crew-and-conveyor)
#   sbatch --dependency=afterok:"$job" --wrap "scullery sweep \
#       scenarios/studies/crew-and-conveyor.toml --out output/crew-and-conveyor --gather"
#
# What follows the name of this file is given to `scullery sweep` as it is. Count the array from 1. To run
# some parts again, say how many there are in all: PARTS=64 sbatch --array=3,17 ...
# A task that is killed or requeued resumes where it was.
#SBATCH --job-name=scullery
#SBATCH --ntasks=1
#SBATCH --cpus-per-task=1
#SBATCH --mem-per-cpu=300M
#SBATCH --time=24:00:00
#SBATCH --requeue
#SBATCH --open-mode=append
#SBATCH --output=scullery-%A-%a.log
set -eu
exec "${SCULLERY:-scullery}" sweep "$@" \
    --part "array${PARTS:+/$PARTS}" --threads "${SLURM_CPUS_PER_TASK:-1}" --quiet
