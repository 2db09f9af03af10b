# embed(TARGET): the page, the measuring pictures and the first example become part of the program, so that it
# serves them from anywhere. The page is built by npm; where node or npm is missing, a plain page says so.
function(embed target)
  set(web ${CMAKE_SOURCE_DIR}/web)
  find_program(NPM npm)
  find_program(NODE node)
  set(page ${CMAKE_SOURCE_DIR}/cmake/no-page)
  if(NPM AND NODE AND EXISTS ${web}/package.json)
    set(page ${web}/dist)
    file(GLOB_RECURSE sources CONFIGURE_DEPENDS ${web}/src/* ${web}/public/*)
    file(GLOB settings CONFIGURE_DEPENDS ${web}/*.json ${web}/*.ts ${web}/*.html)
    set(stamp ${CMAKE_BINARY_DIR}/page.stamp)
    add_custom_command(OUTPUT ${stamp}
      COMMAND ${NPM} ci --no-audit --no-fund --silent
      COMMAND ${NPM} run --silent build
      COMMAND ${CMAKE_COMMAND} -E touch ${stamp}
      WORKING_DIRECTORY ${web} DEPENDS ${sources} ${settings} ${CMAKE_SOURCE_DIR}/docs/page.md
      ${CMAKE_SOURCE_DIR}/docs/verdicts.md COMMENT "Building the page")
  endif()
  file(GLOB pictures CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/docs/pictures/*.svg)
  set(example ${CMAKE_SOURCE_DIR}/examples/island-mail)
  set(out ${CMAKE_BINARY_DIR}/embedded.cpp)
  add_custom_command(OUTPUT ${out}
    COMMAND ${CMAKE_COMMAND} -DOUT=${out} -DPAGE=${page} -DPICTURES=${CMAKE_SOURCE_DIR}/docs/pictures
            -DEXAMPLE=${example} -P ${CMAKE_SOURCE_DIR}/cmake/embed-files.cmake
    DEPENDS ${stamp} ${pictures} ${example}/fork.toml ${example}/shop.toml
            ${CMAKE_SOURCE_DIR}/cmake/embed-files.cmake ${CMAKE_SOURCE_DIR}/cmake/no-page/index.html
    COMMENT "Embedding the page")
  target_sources(${target} PRIVATE ${out})
endfunction()
