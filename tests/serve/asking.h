// A whole server, and the example's job on it asked over HTTP.
#pragma once

#include <string>

#include "serve/client.h"
#include "serve/house.h"
#include "serve/socket.h"

namespace halfround::serve {

/// The body of a request for one edit.
inline std::string edit(std::int64_t base, const std::string& key, const std::string& typed) {
  return Json{{"base", base}, {"edits", {{{"key", key}, {"typed", typed}}}}}.dump();
}

class AskingTest : public HouseTest {
 protected:
  Answered post(const std::string& what, const std::string& body, const std::string& head = "") {
    return Client(port_).ask("POST", "/api/jobs/" + id_ + "/" + what, body, head);
  }
  Answered get(const std::string& what) { return Client(port_).ask("GET", "/api/jobs/" + id_ + "/" + what); }
  Json job() { return Json::parse(Client(port_).ask("GET", "/api/jobs/" + id_).body); }
};

}  // namespace halfround::serve
