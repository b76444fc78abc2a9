if(TARGET firmus_report)
  target_compile_definitions(firmus_report PRIVATE FIRMUS_VERSION="${PROJECT_VERSION}")
endif()
