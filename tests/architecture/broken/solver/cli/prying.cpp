#include "solver/report/json_values.h"
