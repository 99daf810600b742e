#include <CGAL/AABB_tree.h>
#include "solver/geometry/centreline.h"
#include "solver/input/load_job.h"
#include "solver/verify/proof.h"
