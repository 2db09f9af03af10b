// What nearly every file reads, parsed once where HALFROUND_PCH is on, as it is in the presets. A file that forgets
// an include is found by a build with -DHALFROUND_PCH=OFF.
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
