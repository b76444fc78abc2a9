# The measurement version: MAJOR.MINOR of the program's version and a digest of all sources that decide a result (the
# stages up to `take`, the public headers, and the tables by which a result is saved and read), so that no change of
# them can be forgotten. Included, it makes the build write the source file with it again whenever one of these changes;
# as a script it writes that file:
#   cmake -DSOURCE=FOLDER -DVERSION=0.2.0 -DTO=FILE.cpp -P measurement_version.cmake
set(measuring_stages base theory score melody audio room evidence pitch onsets sources decode measure habits practice take)

function(firmus_measuring_sources folder result)
  set(patterns ${folder}/include/firmus/*.hpp ${folder}/src/report/json* ${folder}/src/report/*fields*
      ${folder}/src/report/read_result.cpp ${folder}/src/report/result_in.hpp)
  foreach(stage IN LISTS measuring_stages)
    list(APPEND patterns ${folder}/src/${stage}/*)
  endforeach()
  file(GLOB_RECURSE files RELATIVE ${folder} ${patterns})
  list(SORT files)
  set(${result} ${files} PARENT_SCOPE)
endfunction()

if(CMAKE_SCRIPT_MODE_FILE)
  firmus_measuring_sources(${SOURCE} files)
  set(digests "")
  foreach(file IN LISTS files)
    file(SHA256 ${SOURCE}/${file} digest)
    string(APPEND digests "${file} ${digest}\n")
  endforeach()
  string(SHA256 digest "${digests}")
  string(SUBSTRING ${digest} 0 12 digest)
  string(REGEX MATCH "^[0-9]+\\.[0-9]+" series "${VERSION}")
  file(WRITE ${TO} "#include \"firmus/take.hpp\"\n\nnamespace firmus {\n
std::string_view measurement_version() {\n  return \"${series}+${digest}\";\n}\n\n}  // namespace firmus\n")
elseif(TARGET firmus_take)
  firmus_measuring_sources(${PROJECT_SOURCE_DIR} files)
  list(TRANSFORM files PREPEND ${PROJECT_SOURCE_DIR}/)
  set(written ${CMAKE_CURRENT_BINARY_DIR}/take/measurement_version.cpp)
  add_custom_command(
    OUTPUT ${written}
    COMMAND ${CMAKE_COMMAND} -DSOURCE=${PROJECT_SOURCE_DIR} -DVERSION=${PROJECT_VERSION} -DTO=${written}
            -P ${CMAKE_CURRENT_LIST_DIR}/measurement_version.cmake
    DEPENDS ${files} ${PROJECT_SOURCE_DIR}/CMakeLists.txt)
  target_sources(firmus_take PRIVATE ${written})
  # By itself, so that a change of an earlier stage does not compile all of `take` again.
  set_source_files_properties(${written} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON)
endif()
