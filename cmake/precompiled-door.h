// Parsed once for each of the programs of sanitized.cmake.
#include <utility>  // Asio 1.74 forgets it
//
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <boost/asio.hpp>
#include <boost/beast.hpp>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <sstream>
#include <string>
#include <thread>
#include <vector>
