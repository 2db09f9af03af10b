// What nearly every file reads, parsed once where HALFROUND_PCH is on (preset "default"). The preset "sanitize"
// leaves it off, so that a file of base to job that forgets an include is found there; of the other rooms a build
// with -DHALFROUND_PCH=OFF finds it.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <map>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <utility>
#include <variant>
#include <vector>
