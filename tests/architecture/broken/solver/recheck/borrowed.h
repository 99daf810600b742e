#include <yaml-cpp/yaml.h>
