# The schema is a file in the repository and part of the program: take.schema.json becomes a string literal.
if(TARGET firmus_report)
  set(schema ${CMAKE_CURRENT_LIST_DIR}/take.schema.json)
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${schema})
  file(READ ${schema} schema_text)
  file(CONFIGURE OUTPUT ${CMAKE_CURRENT_BINARY_DIR}/report/take_schema.inc CONTENT "R\"schema(@schema_text@)schema\"\n" @ONLY)
  target_include_directories(firmus_report PRIVATE ${CMAKE_CURRENT_BINARY_DIR}/report)
  target_compile_definitions(firmus_report PRIVATE FIRMUS_VERSION="${PROJECT_VERSION}")
endif()
