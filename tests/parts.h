// Parts by their keys, as tests write them: "blade.left"_part. The engine knows a part by kind, side and
// number.
#pragma once

#include <functional>
#include <ostream>
#include <string>
#include <string_view>

#include "bike/part.h"

namespace halfround {

namespace bike {
inline std::ostream& operator<<(std::ostream& out, const Part& part) {
  return out << '"' << part.name << '"';
}
}  // namespace bike

/// A part of a fork, or one that goes by this name in a test only.
inline bike::Part part_of(std::string_view key) {
  if (key == "axle") return bike::part(bike::PartKind::axle);
  if (key == "bolt") return bike::part(bike::PartKind::bolt);
  if (bike::Part known = bike::part_called(key); !known.empty()) return known;
  const auto number = static_cast<int>(std::hash<std::string_view>{}(key) % 1000000) + 1000;
  return {bike::PartKind::gusset, bike::Side::middle, number, std::string(key)};
}
inline bike::Part operator""_part(const char* key, std::size_t size) {
  return part_of({key, size});
}

}  // namespace halfround
