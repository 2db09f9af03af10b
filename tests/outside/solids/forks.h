// Forks of many kinds as job texts: the starter and the examples with other numbers.
#pragma once

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <random>
#include <regex>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "job/starter.h"

namespace halfround::forks {

/// Sets a key of a section, or uncomments it.
inline std::string with(const std::string& text, const std::string& section, const std::string& key,
                        const std::string& value) {
  const std::size_t at = text.find("\n[" + section + "]");
  if (at == std::string::npos) throw std::runtime_error("no section " + section);
  const std::size_t end = std::min(text.find("\n[", at + 2), text.size());
  const std::regex line("\\n(# )?" + key + " = [^\\n]*");
  const std::string part = text.substr(at, end - at);
  std::string changed =
      std::regex_replace(part, line, "\n" + key + " = " + value, std::regex_constants::format_first_only);
  if (changed == part && part.find("\n" + key + " = " + value) == std::string::npos)
    changed += "\n" + key + " = " + value + "\n";
  return text.substr(0, at) + changed + text.substr(end);
}

inline std::string with(const std::string& text, const std::string& section, const std::string& key,
                        double value) {
  std::ostringstream out;
  out << value;
  return with(text, section, key, out.str());
}

/// Exchanges the blades' stations.
inline std::string with_stations(const std::string& text, const std::string& stations) {
  const std::size_t at = text.find("\nstations = "), end = text.find("\nshape = ", at);
  std::size_t stop = text.rfind("]", end);
  if (at == std::string::npos || end == std::string::npos) throw std::runtime_error("no stations");
  // the comment above `shape` stays
  return text.substr(0, at) + "\nstations = " + stations + text.substr(stop + 1);
}

inline std::string round_blade(double diameter, double wall = 1.2) {
  std::ostringstream out;
  out << "[[0, " << diameter << ", " << diameter << ", " << wall << "]]";
  return out.str();
}

inline std::string example(const std::string& name) {
  std::ifstream in(std::filesystem::path(SOURCE_DIR) / "examples" / name / "fork.toml");
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

/// With a barrel long enough for any blade here.
inline std::string on_long_barrel(const std::string& text) {
  return with(with(text, "lower_end", "blade_from_hub", 18), "lower_end", "length", 36);
}

/// The starter with round blades on an insert barrel.
inline std::string unicrown(double blade, double barrel) {
  const std::string text = on_long_barrel("\n" + job::starter_job());
  return with(with_stations(text, round_blade(blade)), "lower_end", "diameter", barrel);
}
/// Crown tubes between steerer and blades.
inline std::string segmented(double blade, double crown_tube, double angle_deg) {
  std::string text = with(with_stations(on_long_barrel(example("ferry-mail")), round_blade(blade, 1.4)),
                          "crown", "diameter", crown_tube);
  text = with(text, "crown", "angle", angle_deg);
  const std::size_t gussets = text.find("[[gussets]]");  // they are cut to the tubes and not the matter here
  return text.substr(0, gussets) + text.substr(text.find("\n[brake]", gussets) + 1);
}

struct NamedFork {
  const char* name;
  std::string text;
};

/// Tubes of one diameter, a hair apart, tangent from inside; coaxial faces in sockets and bores.
inline std::vector<NamedFork> equal_tubes() {
  return {
      {"BladeOf25_4OnBarrelOf25_4", unicrown(25.4, 25.4)},
      {"BladeOf24OnBarrelOf24", unicrown(24, 24)},
      {"BladeOfOneInchOnBarrelOf25_4", with(unicrown(25.4, 25.4), "lower_end", "diameter", "\"1 in\"")},
      {"BladeAHairThinnerThanItsBarrel", unicrown(24, 24.002)},
      {"BladeAHairThickerThanItsBarrel", unicrown(24.002, 24)},
      {"BladeOfTheSteerersDiameter", unicrown(28.575, 24)},
      {"OvalBladeAsWideAsItsBarrel",
       with_stations(unicrown(24, 24), "[[0, 24, 20, 1.2], [330, 24, 30, 1.0]]")},
      {"CrownTubeOfTheSteerersDiameter", segmented(28.6, 28.575, 85)},
      {"CrownTubeOfTheSteerersDiameterSquareOn", segmented(28.6, 28.575, 90)},
      {"CrownTubeOfTheBladesDiameter", segmented(25.4, 25.4, 85)},
      {"CrownTubeOfTheBladesDiameterVeryOblique", segmented(25.4, 25.4, 70)},
      {"OffsetByTheDifferenceOfTheRadii", segmented(28.6, 25.4, 90) + "\n[shares]\nmitre_offset = 1.5875\n"},
      {"SocketsOfTheBladesOwnSection",
       with(with(example("pier-mail"), "crown", "socket_width", 22), "crown", "socket_depth", 28)},
      {"BladesSteererAndAxleInBoresOfTheirOwnDiameter", example("quarry-mail")},
      {"BladesInBlocks", example("slip-mail")},
  };
}

}  // namespace halfround::forks
