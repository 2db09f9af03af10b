// What no client may do: end the server.
#include <gtest/gtest.h>

#include "asking.h"

namespace halfround::serve {
namespace {

class FallTest : public AskingTest {
 protected:
  [[nodiscard]] std::string chunked(const std::string& behind) const {
    return "POST /api/jobs HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port_) +
           "\r\nTransfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n" + behind;
  }
  void expect_alive() { EXPECT_EQ(Client(port_).ask("GET", "/api/jobs").status, 200); }
};

TEST_F(FallTest, ATrailerFieldOver64kBEndedTheServer) {
  for (const std::size_t size : {1UL, 4'000UL, 30'000UL, 66'000UL, 70'000UL, 200'000UL, 1'900'000UL}) {
    Client c(port_);
    (void)c.send(chunked("0\r\nX: " + std::string(size, 'a') + "\r\n\r\n"));
    const int status = c.receive().status;
    EXPECT_TRUE(size < 5'000 ? status == 200 : status == 200 || status == 431) << size << " " << status;
    if (size > 60'000) {
      EXPECT_EQ(status, 431) << size;
    }
    Client name(port_);
    (void)name.send(chunked("0\r\n" + std::string(size, 'n') + ": a\r\n\r\n"));
    (void)name.receive();
    Client extension(port_);
    (void)extension.send(chunked("1;" + std::string(size, 'e') + "\r\n \r\n0\r\n\r\n"));
    (void)extension.receive();
    expect_alive();
  }
}

TEST_F(FallTest, ManyTrailerFieldsAreBoundedToo) {
  std::string many = "0\r\n";
  for (int i = 0; i < 20'000; ++i) many += "X" + std::to_string(i) + ": a\r\n";
  Client c(port_);
  (void)c.send(chunked(many + "\r\n"));
  EXPECT_EQ(c.receive().status, 431);
  expect_alive();
}

TEST_F(FallTest, NumbersThatAreNoneEndNothing) {
  for (const char* at : {"nan", "inf", "-inf", "1e308", "-1e308", "1e-320", "", "x", "99999999999999999999"})
    for (const char* show : {"front", "section", "template-left"})
      EXPECT_EQ(get(std::string("view?show=") + show + "&at=" + at).status, 200) << at << show;
  EXPECT_EQ(get("view?revision=99999999999999999999").status, 404);
  EXPECT_EQ(get("view?revision=-9223372036854775808").status, 404);
  EXPECT_EQ(get("compare?a=-1&b=nan").status, 404);
  for (const char* base :
       {"-1", "9223372036854775807", "-9223372036854775808", "1e999", "18446744073709551615"})
    EXPECT_GE(post("undo", std::string("{\"base\":") + base + "}").status, 400) << base;
  expect_alive();
}

}  // namespace
}  // namespace halfround::serve
