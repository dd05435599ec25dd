# Made by docs/make_completion.py from the commands; do not edit by hand.

_shtab_dossier_templates_subparsers=(list show check)
_shtab_dossier_subparsers=(check history ask draw ready figures sheets matrix forms plan page serve templates build join package verify compare sign new workbook map schema migrate range calc doctor completion)

_shtab_dossier_check_option_strings=(-h --help --as-of --format --only --fail-on --workers)
_shtab_dossier_history_option_strings=(-h --help --as-of --format --out)
_shtab_dossier_ask_option_strings=(-h --help --as-of --format)
_shtab_dossier_draw_option_strings=(-h --help --as-of --seed --joints --format)
_shtab_dossier_ready_option_strings=(-h --help --as-of --for --format)
_shtab_dossier_figures_option_strings=(-h --help --as-of --out)
_shtab_dossier_sheets_option_strings=(-h --help --as-of --out)
_shtab_dossier_matrix_option_strings=(-h --help --as-of --out)
_shtab_dossier_forms_option_strings=(-h --help --as-of --out)
_shtab_dossier_plan_option_strings=(-h --help --as-of --days --with --format --out)
_shtab_dossier_page_option_strings=(-h --help --as-of --out)
_shtab_dossier_serve_option_strings=(-h --help --as-of --port)
_shtab_dossier_templates_list_option_strings=(-h --help)
_shtab_dossier_templates_show_option_strings=(-h --help)
_shtab_dossier_templates_check_option_strings=(-h --help)
_shtab_dossier_templates_option_strings=(-h --help)
_shtab_dossier_build_option_strings=(-h --help --as-of --out --store --no-draft --split-pages --split-mb --since --workers --cluster --shard)
_shtab_dossier_join_option_strings=(-h --help --as-of --out --store --no-draft --split-pages --split-mb --since --from)
_shtab_dossier_package_option_strings=(-h --help --as-of --built --out)
_shtab_dossier_verify_option_strings=(-h --help --format --trust --bytes-only)
_shtab_dossier_compare_option_strings=(-h --help --format)
_shtab_dossier_sign_option_strings=(-h --help --key --role --roles --passphrase-file)
_shtab_dossier_new_option_strings=(-h --help)
_shtab_dossier_workbook_option_strings=(-h --help --out)
_shtab_dossier_map_option_strings=(-h --help --register)
_shtab_dossier_schema_option_strings=(-h --help --editor)
_shtab_dossier_migrate_option_strings=(-h --help --check)
_shtab_dossier_range_option_strings=(-h --help --format)
_shtab_dossier_calc_option_strings=(-h --help --format)
_shtab_dossier_doctor_option_strings=(-h --help)
_shtab_dossier_completion_option_strings=(-h --help)
_shtab_dossier_option_strings=(-h --help --version)

_shtab_dossier_check_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_history_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_history___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_ask_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_draw_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_ready_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_figures_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_figures___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_sheets_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_sheets___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_matrix_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_matrix___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_forms_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_forms___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_plan_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_plan___with_COMPGEN=_shtab_compgen_files
_shtab_dossier_plan___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_page_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_page___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_serve_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_templates_list_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_templates_check_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_build_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_build___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_build___store_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_build___since_COMPGEN=_shtab_compgen_files
_shtab_dossier_join_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_join___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_join___store_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_join___since_COMPGEN=_shtab_compgen_files
_shtab_dossier_join___from_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_package_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_package___built_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_package___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_verify_pos_0_COMPGEN=_shtab_compgen_files
_shtab_dossier_verify___trust_COMPGEN=_shtab_compgen_files
_shtab_dossier_compare_pos_0_COMPGEN=_shtab_compgen_files
_shtab_dossier_compare_pos_1_COMPGEN=_shtab_compgen_files
_shtab_dossier_sign_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_sign___passphrase_file_COMPGEN=_shtab_compgen_files
_shtab_dossier_new_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_workbook_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_workbook___out_COMPGEN=_shtab_compgen_files
_shtab_dossier_map_pos_0_COMPGEN=_shtab_compgen_files
_shtab_dossier_schema___editor_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_migrate_pos_0_COMPGEN=_shtab_compgen_dirs
_shtab_dossier_range_pos_0_COMPGEN=_shtab_compgen_files

_shtab_dossier_check___format_choices=(text json jsonl sarif junit)
_shtab_dossier_check___only_choices=(joint-line procedure-in-force joint-inside-procedure fit-up wall-transition pass-sequence side-record welder-certificate welder-range welder-deposit welder-continuity item-heat-certificate carbon-equivalent consumable-batch consumable-baking pass-parameters heat-input pass-interval preheat-and-interpass heat-treatment hardness-test work-day paper-dates instrument-calibration visual-examination self-examination examination-technique circumference-closed examination-complete golden-weld examination-delay examiner-certificate indication-acceptance repair-closed sequence-of-work coating-conditions cover-and-backfill accepted-before-test record-blank late-certificate procedure-supported signature-complete joint-number-ledger joint-status pup-balance pipe-end pressure-test evidence-document nonconformity-closed radiograph-header doubtful-reading film-numbers report-reuse certificate-dates examination-share line-share tracer-welds welder-whereabouts shift-pattern concession-scope)
_shtab_dossier_check___fail_on_choices=(note hold nonconformity cut-out)
_shtab_dossier_history___format_choices=(text json pdf)
_shtab_dossier_ask_pos_1_choices=(joint who-welded measured totals numbers welder clock revision limit batch heat not-accepted share repairs examiner delay used-twice tracers instruments too-early concessions)
_shtab_dossier_ask___format_choices=(text csv json)
_shtab_dossier_draw___format_choices=(text json)
_shtab_dossier_ready___for_choices=(coating lowering pressure-test handover)
_shtab_dossier_ready___format_choices=(text csv json)
_shtab_dossier_plan___format_choices=(text json)
_shtab_dossier_templates_pos_0_choices=(list show check)
_shtab_dossier_verify___format_choices=(text json)
_shtab_dossier_compare___format_choices=(text json)
_shtab_dossier_map___register_choices=(lines joints passes procedures pqrs welders items material_certificates batches examinations examiners repairs heat_treatments hardness_tests coatings lowerings pressure_tests instruments concessions nonconformities documents)
_shtab_dossier_schema_pos_0_choices=(project lines joints passes procedures pqrs welders items material_certificates batches examinations examiners repairs heat_treatments hardness_tests coatings lowerings pressure_tests instruments concessions nonconformities documents)
_shtab_dossier_range___format_choices=(text json)
_shtab_dossier_calc_pos_0_choices=(accommodation_factor activity_after_gbq arc_energy_from_energy_kj_mm arc_energy_from_power_kj_mm arc_energy_from_time_kj_mm arc_energy_kj_mm arc_time_h average_deposition_efficiency aws_hydrogen_class aws_level_ml_100g bead_per_electrode bead_section_mm2 bevel_triangle_mm2 binomial_at_most boundary_distance_m c_chart_limits cap_mm2 ce_aws_pct ce_iiw_pct cellulosic_per_joint cen_bracket_pct cen_pct cet_faults cet_pct circumference_mm code_letter combined_thickness_mm content_pct converted_hardness cooling_time count_interval cover_m decay_time_d deposition_efficiency deposition_rate_kg_h design_cet_pct design_pressure_mpa dew_point_c dew_point_margin_c distance_for_rate_m efficiency_with_stub exact_interval exposure_minutes exposure_minutes_by_factor exposure_minutes_scaled fill_volume_m3 fillet_mm2 film_count film_density film_repair_rate_pct first_time_acceptance_pct gamma_constant_r_m2_h_ci gamma_constant_usv_m2_h_gbq geometric_unsharpness_mm girth_length_m girth_v_section_mm2 girth_weld_length_mm girth_weld_mass_kg groove_section half_life_d head_pressure_mpa heat_input_for_2d_kj_mm heat_input_for_3d_kj_mm heat_input_for_kj_mm heat_input_kj_mm holiday_constant_per_root_mm holiday_test_voltage_v holiday_upper_bound_v holiday_voltage_per_mil_v hoop_stress_mpa hydrogen_scale iqi_sensitivity_pct iso_hydrogen_class j_groove_mm2 j_side_mm2 light_transmission_pct mass_kg_m measuring_distance_mm method_a_thickness_mm method_b method_b_faults mill_test_fraction mill_test_pressure_mpa min_source_to_object_mm np_chart_limits number_belt p_chart_limits p_points_out pcm_pct peel_force_n percent_smys pipe_expansion_factor pipe_size plain_end_mass_kg_m plain_end_mass_lb_ft poisson_at_most preheat_to_state_c pren pressure_for_stress_mpa probability_of_acceptance psl2_limit psl_2_tensile_limits rate_at_distance_usv_h repair_rate_by_joint_pct repair_rate_by_length_pct repairs_per_100_m run_out_length_mm runs_estimate sample_size schaeffler schedules shield_thickness_mm shield_transmission single_bevel_mm2 single_normal_plan single_v_mm2 source_to_object_mm square_groove_mm2 susceptibility_group susceptibility_index t85_three_dimensional_s t85_two_dimensional_s table_psi tabulated_accommodation_factor tenth_value_layer_mm thermal_efficiency to_buy_kg transition_thickness_mm travel_speed_mm_min u_chart_limits u_groove_mm2 u_points_out v_opening_mm wall_for_stress_mm wall_ratio water_at_pressure water_compression_factor water_temperature_factor welding_time_h wilson_interval wrc_1992)
_shtab_dossier_calc___format_choices=(text json)
_shtab_dossier_completion_pos_0_choices=(bash zsh)
_shtab_dossier_pos_0_choices=(check history ask draw ready figures sheets matrix forms plan page serve templates build join package verify compare sign new workbook map schema migrate range calc doctor completion)

_shtab_dossier_check__h_nargs=0
_shtab_dossier_check___help_nargs=0
_shtab_dossier_check___only_nargs=+
_shtab_dossier_history__h_nargs=0
_shtab_dossier_history___help_nargs=0
_shtab_dossier_ask_pos_2_nargs='*'
_shtab_dossier_ask__h_nargs=0
_shtab_dossier_ask___help_nargs=0
_shtab_dossier_draw__h_nargs=0
_shtab_dossier_draw___help_nargs=0
_shtab_dossier_ready__h_nargs=0
_shtab_dossier_ready___help_nargs=0
_shtab_dossier_figures__h_nargs=0
_shtab_dossier_figures___help_nargs=0
_shtab_dossier_sheets__h_nargs=0
_shtab_dossier_sheets___help_nargs=0
_shtab_dossier_matrix__h_nargs=0
_shtab_dossier_matrix___help_nargs=0
_shtab_dossier_forms__h_nargs=0
_shtab_dossier_forms___help_nargs=0
_shtab_dossier_plan__h_nargs=0
_shtab_dossier_plan___help_nargs=0
_shtab_dossier_page__h_nargs=0
_shtab_dossier_page___help_nargs=0
_shtab_dossier_serve__h_nargs=0
_shtab_dossier_serve___help_nargs=0
_shtab_dossier_templates_list__h_nargs=0
_shtab_dossier_templates_list___help_nargs=0
_shtab_dossier_templates_show__h_nargs=0
_shtab_dossier_templates_show___help_nargs=0
_shtab_dossier_templates_check__h_nargs=0
_shtab_dossier_templates_check___help_nargs=0
_shtab_dossier_templates_pos_0_nargs=A...
_shtab_dossier_templates__h_nargs=0
_shtab_dossier_templates___help_nargs=0
_shtab_dossier_build__h_nargs=0
_shtab_dossier_build___help_nargs=0
_shtab_dossier_build___no_draft_nargs=0
_shtab_dossier_join__h_nargs=0
_shtab_dossier_join___help_nargs=0
_shtab_dossier_join___no_draft_nargs=0
_shtab_dossier_join___from_nargs=+
_shtab_dossier_package__h_nargs=0
_shtab_dossier_package___help_nargs=0
_shtab_dossier_verify__h_nargs=0
_shtab_dossier_verify___help_nargs=0
_shtab_dossier_verify___bytes_only_nargs=0
_shtab_dossier_compare__h_nargs=0
_shtab_dossier_compare___help_nargs=0
_shtab_dossier_sign__h_nargs=0
_shtab_dossier_sign___help_nargs=0
_shtab_dossier_new__h_nargs=0
_shtab_dossier_new___help_nargs=0
_shtab_dossier_workbook__h_nargs=0
_shtab_dossier_workbook___help_nargs=0
_shtab_dossier_map__h_nargs=0
_shtab_dossier_map___help_nargs=0
_shtab_dossier_schema__h_nargs=0
_shtab_dossier_schema___help_nargs=0
_shtab_dossier_migrate__h_nargs=0
_shtab_dossier_migrate___help_nargs=0
_shtab_dossier_migrate___check_nargs=0
_shtab_dossier_range__h_nargs=0
_shtab_dossier_range___help_nargs=0
_shtab_dossier_calc_pos_1_nargs='*'
_shtab_dossier_calc__h_nargs=0
_shtab_dossier_calc___help_nargs=0
_shtab_dossier_doctor__h_nargs=0
_shtab_dossier_doctor___help_nargs=0
_shtab_dossier_completion__h_nargs=0
_shtab_dossier_completion___help_nargs=0
_shtab_dossier_pos_0_nargs=A...
_shtab_dossier__h_nargs=0
_shtab_dossier___help_nargs=0
_shtab_dossier___version_nargs=0


# $1=COMP_WORDS[1]
_shtab_compgen_files() {
  compgen -f -- $1  # files
}

# $1=COMP_WORDS[1]
_shtab_compgen_dirs() {
  compgen -d -- $1  # recurse into subdirs
}

# $1=COMP_WORDS[1]
_shtab_replace_nonword() {
  echo "${1//[^[:word:]]/_}"
}

# set default values (called for the initial parser & any subparsers)
_set_parser_defaults() {
  local subparsers_var="${prefix}_subparsers[@]"
  sub_parsers=${!subparsers_var-}

  local current_option_strings_var="${prefix}_option_strings[@]"
  current_option_strings=${!current_option_strings_var}

  completed_positional_actions=0

  _set_new_action "pos_$completed_positional_actions" true
}

# $1=action identifier
# $2=positional action (bool)
# set all identifiers for an action's parameters
_set_new_action() {
  current_action="${prefix}_$(_shtab_replace_nonword $1)"

  local current_action_compgen_var=${current_action}_COMPGEN
  current_action_compgen="${!current_action_compgen_var-}"

  local current_action_choices_var="${current_action}_choices[@]"
  current_action_choices="${!current_action_choices_var-}"

  local current_action_nargs_var="${current_action}_nargs"
  if [ -n "${!current_action_nargs_var-}" ]; then
    current_action_nargs="${!current_action_nargs_var}"
  else
    current_action_nargs=1
  fi

  current_action_args_start_index=$(( $word_index + 1 - $pos_only ))

  current_action_is_positional=$2
}

# Notes:
# `COMPREPLY`: what will be rendered after completion is triggered
# `completing_word`: currently typed word to generate completions for
# `${!var}`: evaluates the content of `var` and expand its content as a variable
#     hello="world"
#     x="hello"
#     ${!x} -> ${hello} -> "world"
_shtab_dossier() {
  local completing_word="${COMP_WORDS[COMP_CWORD]}"
  local previous_word="${COMP_WORDS[COMP_CWORD-1]}"
  local completed_positional_actions
  local current_action
  local current_action_args_start_index
  local current_action_choices
  local current_action_compgen
  local current_action_is_positional
  local current_action_nargs
  local current_option_strings
  local sub_parsers
  COMPREPLY=()

  local prefix=_shtab_dossier
  local word_index=0
  local pos_only=0 # "--" delimiter not encountered yet
  _set_parser_defaults
  word_index=1

  # determine what arguments are appropriate for the current state
  # of the arg parser
  while [ $word_index -ne $COMP_CWORD ]; do
    local this_word="${COMP_WORDS[$word_index]}"

    if [[ $pos_only = 1 || " $this_word " != " -- " ]]; then
      if [[ -n $sub_parsers && " ${sub_parsers[@]} " == *" $this_word "* ]]; then
        # valid subcommand: add it to the prefix & reset the current action
        prefix="${prefix}_$(_shtab_replace_nonword $this_word)"
        _set_parser_defaults
      fi

      if [[ " ${current_option_strings[@]} " == *" $this_word "* ]]; then
        # a new action should be acquired (due to recognised option string or
        # no more input expected from current action);
        # the next positional action can fill in here
        _set_new_action $this_word false
      fi

      if [[ "$current_action_nargs" != "*" ]] && \
         [[ "$current_action_nargs" != "+" ]] && \
         [[ "$current_action_nargs" != "?" ]] && \
         [[ "$current_action_nargs" != *"..." ]] && \
         (( $word_index + 1 - $current_action_args_start_index - $pos_only >= \
            $current_action_nargs )); then
        $current_action_is_positional && let "completed_positional_actions += 1"
        _set_new_action "pos_$completed_positional_actions" true
      fi
    else
      pos_only=1 # "--" delimiter encountered
    fi

    let "word_index+=1"
  done

  # Generate the completions

  COMPREPLY=()
  if [[ $pos_only = 0 && "$completing_word" == -* &&
        ( -z "$current_action_compgen" || "$current_action_is_positional" = true ) ]]; then
    # optional argument started: use option strings
    while IFS= read -r line; do COMPREPLY+=("$line"); done < <(
      compgen -W "${current_option_strings[*]}" -- "$completing_word")
  elif [[ "$previous_word" =~ ^[0-9\&]*[\<\>]\>?$ ]]; then
    # handle redirection operators
    compopt -o filenames 2>/dev/null || : # bash>=4
    while IFS= read -r line; do COMPREPLY+=("$line"); done < <(compgen -f -- "$completing_word")
  else
    # use choices & compgen
    local action_compgen_word="$completing_word"
    # handle tab-completing in the middle of a line (#248 <- #116)
    [[ -n "$current_action_compgen" && "$completing_word" == -* ]] && action_compgen_word=""
    [ -n "$current_action_compgen" ] && {
      [[ "$current_action_compgen" =~ _(file|dir|glob|FILE|DIR|GLOB)|File|Dir|Glob ]] &&
        compopt -o filenames 2>/dev/null || : # bash>=4
      while IFS= read -r line; do COMPREPLY+=("$line"); done < <(
        "$current_action_compgen" "$action_compgen_word")
    }
    while IFS= read -r line; do COMPREPLY+=("$line"); done < <(
      compgen -W "${current_action_choices[*]}" -- "$completing_word")
  fi

  if [[ ${#COMPREPLY[@]} = 0 ]]; then
    # native fallback matches are not necessarily filenames (e.g. variables)
    compopt +o filenames 2>/dev/null || : # bash>=4
  fi

  return 0
}

complete -o bashdefault -F _shtab_dossier dossier
