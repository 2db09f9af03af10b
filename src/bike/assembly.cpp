#include "bike/assembly.h"

namespace halfround::bike {

const Member* find_member(const Assembly& assembly, const std::string& name) {
  for (const Member& m : assembly.members) {
    if (m.name == name) return &m;
  }
  return nullptr;
}

const Plate* find_plate(const Assembly& assembly, const std::string& name) {
  for (const Plate& p : assembly.plates) {
    if (p.name == name) return &p;
  }
  return nullptr;
}

Assembly moved(const Assembly& assembly, const base::Pose& X) {
  Assembly out = assembly;
  for (Member& m : out.members) m.tube = m.tube.moved(X);
  for (Plate& p : out.plates) p = moved(p, X);
  out.axle = X * out.axle;
  out.tyre = out.tyre.moved(X);
  return out;
}

namespace {

std::string other_side(const std::string& name) {
  const auto swap = [&](const std::string& from, const std::string& to) -> std::string {
    if (name.size() < from.size() || name.compare(name.size() - from.size(), from.size(), from) != 0)
      return {};
    return name.substr(0, name.size() - from.size()) + to;
  };
  if (const std::string out = swap(".left", ".right"); !out.empty()) return out;
  if (const std::string out = swap(".right", ".left"); !out.empty()) return out;
  return name;
}

}  // namespace

Assembly mirrored(const Assembly& assembly) {
  Assembly out = assembly;
  for (Member& m : out.members) m.tube = m.tube.mirrored(), m.name = other_side(m.name);
  for (Plate& p : out.plates) {
    p = mirrored(p);
    p.name = other_side(p.name);
    for (Bore& b : p.bores) b.takes = other_side(b.takes);
  }
  for (Joint& j : out.joints) j.member = other_side(j.member), j.onto = other_side(j.onto);
  out.axle.y() = -out.axle.y();
  out.tyre = out.tyre.mirrored();
  return out;
}

}  // namespace halfround::bike
