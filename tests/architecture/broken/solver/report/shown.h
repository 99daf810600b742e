#include <nlohmann/json.hpp>
#include "solver/report/json_values.h"
