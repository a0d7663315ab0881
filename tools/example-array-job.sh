#!/bin/sh
# Eight shares of one search on any batch system, then one ranking of all of them.
#
# Slurm:         sbatch --array=1-8 tools/example-array-job.sh
#                and when all are done: sixtyfold merge part-* --out all
# GNU parallel:  parallel tools/example-array-job.sh ::: 1 2 3 4 5 6 7 8
#                and then the same
#
# The shares are those of `sixtyfold find --streams 8` with the same options: the merged folder has
# the same bytes, whatever ran where. A share that was killed goes on with --resume.
set -eu
share=${SLURM_ARRAY_TASK_ID:-${1:?which share, 1 to 8}}
if [ -e "part-$share/checkpoint.state" ]; then
  exec sixtyfold find --resume "part-$share" --threads "${SLURM_CPUS_PER_TASK:-1}"
fi
exec sixtyfold find --sheet 600x1200 --group I,O --budget 2000000 --seed 1 --shard "$share/8" \
  --out "part-$share" --threads "${SLURM_CPUS_PER_TASK:-1}"
