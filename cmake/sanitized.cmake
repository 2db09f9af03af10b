# sanitized(NAME FLAGS SOURCES...): the store and the server once more, with their tests, under sanitizers; the rooms
# below are linked as they are. Label slow: built when it is run.
#   ctest --test-dir build -L slow -R sanitized
# The thread sanitizer passes over what Pango, Cairo and GLib do among themselves: it doesn't see their locks.
function(sanitized name flags)
  set(program test_serve_${name})
  file(GLOB ours CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/src/store/*.cpp ${CMAKE_SOURCE_DIR}/src/serve/*.cpp)
  add_executable(${program} EXCLUDE_FROM_ALL ${ours} ${ARGN})
  target_compile_options(${program} PRIVATE -O1 -g1 -fno-omit-frame-pointer -Wno-mismatched-new-delete
    -fno-sanitize-recover=all ${flags})
  target_link_options(${program} PRIVATE ${flags})
  target_include_directories(${program} PRIVATE ${CMAKE_SOURCE_DIR}/tests /usr/include/rapidcheck)
  target_compile_definitions(${program} PRIVATE SOURCE_DIR="${CMAKE_SOURCE_DIR}" BINARY_DIR="${CMAKE_BINARY_DIR}")
  target_precompile_headers(${program} PRIVATE ${CMAKE_SOURCE_DIR}/cmake/precompiled-door.h)
  # the embedded page comes from the library behind
  target_link_libraries(${program} PRIVATE halfround_serve SQLiteCpp PkgConfig::SQLITE PkgConfig::SODIUM
    PkgConfig::QRENCODE nlohmann_json::nlohmann_json GTest::gtest_main rapidcheck)
  add_test(NAME build_sanitized_${name} COMMAND ${CMAKE_COMMAND} --build ${CMAKE_BINARY_DIR} --target ${program})
  add_test(NAME sanitized_${name} COMMAND ${program})
  set_tests_properties(build_sanitized_${name} PROPERTIES LABELS slow FIXTURES_SETUP sanitized_${name} TIMEOUT 3600)
  set_tests_properties(sanitized_${name} PROPERTIES LABELS slow FIXTURES_REQUIRED sanitized_${name} TIMEOUT 1800
    ENVIRONMENT "HALFROUND_TIME_SCALE=5;ASAN_OPTIONS=detect_leaks=1;UBSAN_OPTIONS=print_stacktrace=1;TSAN_OPTIONS=ignore_noninstrumented_modules=1")
endfunction()
