#include "bike/filler.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>

namespace halfround::bike {

namespace {

using enum FillerKind;

constexpr std::string_view kTable =
    "Machinery's Handbook 31st ed., brazing Tables 1a and 1b, from AWS A5.8-1981";
constexpr std::string_view kBrass =
    "a 60/40 brass sheet (C37000) gives 8.41 g/cm3, a C68100 page 7.9, mixing the elements 8.10";
constexpr std::string_view kMixed =
    "mixing the elements; a handbook's values lie 2 to 3 % higher, from memory";

constexpr std::array<Filler, 8> kFillers{{
    {"RBCuZn-A", "Cu 470a", "Cu 59, Zn 41, a little Sn", bronze, 888, 899, 910, 954, 8400, 0.03, kTable,
     kBrass},
    {"RBCuZn-B", "Cu 680", "low-fuming brass with Ni", bronze, 866, 882, 880, 980, 8400, 0.03,
     "a materials database's page for C68000", kBrass},
    {"RBCuZn-C", "Cu 681", "Cu 58, Zn 40, Sn 1, Fe 0.7, Mn 0.3, Si 0.1", bronze, 866, 888, 910, 954, 8400,
     0.03, kTable, kBrass},
    {"RBCuZn-D", "Cu 773", "Cu 48, Zn 42, Ni 10, Si 0.2", bronze, 921, 935, 938, 982, 8400, 0.03, kTable,
     "taken as RBCuZn-C; no sheet found"},
    {"BAg-5", "Ag 245", "Ag 45, Cu 30, Zn 25", silver, 677, 743, 743, 843, 9100, 0.02, kTable, kMixed},
    {"BAg-7", "Ag 156", "Ag 56, Cu 22, Zn 17, Sn 5", silver, 618, 652, 652, 760, 9300, 0.02, kTable, kMixed},
    {"BAg-24", "Ag 450", "Ag 50, Cu 20, Zn 28, Ni 2", silver, 660, 707, 707, 843, 9100, 0.02, kTable, kMixed,
     true},
    {"BAg-22", "", "Ag 49, Cu 16, Zn 23, Ni 4.5, Mn 7.5", silver, 682, 699, 699, 829, 9100, 0.03, kTable,
     "taken as BAg-24; no sheet found", true},
}};

// BAg-2a, -3, -27 by the same table; BAg-1, -1a, -2 from memory of AWS A5.8
constexpr std::array<std::string_view, 6> kCadmium{"BAg-1", "BAg-1a", "BAg-2", "BAg-2a", "BAg-3", "BAg-27"};

constexpr std::string_view kOsha = "29 CFR 1910.252 and 1915.153";
constexpr std::array<Shade, 5> kShades{{
    {"torch brazing", "3 or 4", kOsha},
    {"soldering", "2", kOsha},
    {"gas welding up to 3.2 mm", "4 or 5", kOsha},
    {"gas welding 3.2 to 12.7 mm", "5 or 6", kOsha},
    {"gas welding over 12.7 mm", "6 or 8", kOsha},
}};

/// Letters and digits only, small.
std::string bare(std::string_view name) {
  std::string out;
  for (const char c : name) {
    if (std::isalnum(static_cast<unsigned char>(c)) != 0)
      out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  return out;
}

}  // namespace

std::span<const Filler> fillers() {
  return kFillers;
}
std::span<const std::string_view> cadmium_fillers() {
  return kCadmium;
}
std::span<const Shade> shades() {
  return kShades;
}

base::Result<const Filler*> find_filler(std::string_view name) {
  const std::string wanted = bare(name);
  for (const Filler& f : kFillers) {
    if (!wanted.empty() && (bare(f.name) == wanted || bare(f.iso) == wanted)) return &f;
  }
  std::string all;
  for (const Filler& f : kFillers) all += (all.empty() ? "" : ", ") + std::string(f.name);
  if (std::any_of(kCadmium.begin(), kCadmium.end(), [&](auto c) { return bare(c) == wanted; })) {
    return tl::unexpected(
        base::Problem{"filler-cadmium",
                      {},
                      fmt::format("{} holds cadmium, whose fume kills; no plan is made with it.", name),
                      fmt::format("Take one without: {}.", all)});
  }
  return tl::unexpected(base::Problem{"filler-unknown",
                                      {},
                                      fmt::format("No filler is known by the name \"{}\".", name),
                                      fmt::format("Give one of {}.", all)});
}

}  // namespace halfround::bike
